// Entry point: read_json. The tree is built from the library's events: with its own way of watching
// a tree grow, every list and map that ends makes it look through all that stand beside it.
#include "receipt/read_json.hpp"

#include <utility>
#include <vector>

namespace toprail {
namespace {

class Builder final : public nlohmann::json_sax<Json> {
  public:
    Builder(const Limits& limits, JsonReading& reading) : limits_(limits), reading_(reading) {}

    bool null() override { return place(nullptr) != nullptr; }
    bool boolean(bool value) override { return place(value) != nullptr; }
    bool number_integer(number_integer_t value) override { return place(value) != nullptr; }
    bool number_unsigned(number_unsigned_t value) override { return place(value) != nullptr; }
    bool number_float(number_float_t /*value*/, const string_t& /*text*/) override {
        return refuse("it holds a number that is not whole");
    }
    bool string(string_t& value) override { return place(std::move(value)) != nullptr; }
    bool binary(binary_t& /*value*/) override { return refuse("it holds bytes that are no text"); }

    bool start_object(std::size_t /*size*/) override { return open(Json::object()); }
    bool end_object() override { return close(); }
    bool start_array(std::size_t /*size*/) override { return open(Json::array()); }
    bool end_array() override { return close(); }

    bool key(string_t& name) override {
        if (!count()) {
            return false;
        }
        value_of_key_ = &open_.back()->get_ref<Json::object_t&>()[std::move(name)];
        return true;
    }

    bool parse_error(std::size_t position, const std::string& /*token*/,
                     const nlohmann::detail::exception& trouble) override {
        return refuse(dynamic_cast<const Json::out_of_range*>(&trouble) != nullptr
                          ? "it holds a number that is too large"
                          : "it is not JSON, from byte " + std::to_string(position) + " on");
    }

  private:
    bool refuse(std::string message) {
        reading_.trouble = std::move(message);
        return false;
    }

    bool count() {
        return ++nodes_ <= limits_.nodes || refuse("it holds more keys and values than the limit");
    }

    bool open(Json empty) {
        if (open_.size() >= limits_.depth) {
            return refuse("its lists and maps are nested deeper than the limit");
        }
        Json* const placed = place(std::move(empty));
        if (placed == nullptr) {
            return false;
        }
        open_.push_back(placed);
        return true;
    }

    bool close() {
        open_.pop_back();
        return true;
    }

    // Null once the limit is passed. What is open stays where it is: only the innermost list grows.
    Json* place(Json value) {
        if (!count()) {
            return nullptr;
        }
        if (open_.empty()) {
            reading_.tree = std::move(value);
            return &reading_.tree;
        }
        if (open_.back()->is_array()) {
            auto& list = open_.back()->get_ref<Json::array_t&>();
            list.push_back(std::move(value));
            return &list.back();
        }
        *value_of_key_ = std::move(value);
        return value_of_key_;
    }

    const Limits& limits_;
    JsonReading& reading_;
    std::vector<Json*> open_;
    Json* value_of_key_ = nullptr;
    std::size_t nodes_ = 0;
};

}  // namespace

JsonReading read_json(std::string_view text, const Limits& limits) {
    JsonReading reading;
    Builder builder(limits, reading);
    Json::sax_parse(text.begin(), text.end(), &builder);
    return reading;
}

}  // namespace toprail
