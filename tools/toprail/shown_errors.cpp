#include "shown_errors.hpp"

#include "findings/text.hpp"

namespace toprail::command {

ShownErrors::ShownErrors(std::ostream& stream) : stream_(stream), below_(stream.rdbuf(this)) {}

ShownErrors::~ShownErrors() {
    ShownErrors::sync();
    stream_.rdbuf(below_);
}

ShownErrors::int_type ShownErrors::overflow(int_type c) {
    if (!traits_type::eq_int_type(c, traits_type::eof())) {
        waiting_ += traits_type::to_char_type(c);
    }
    return traits_type::not_eof(c);
}

std::streamsize ShownErrors::xsputn(const char* text, std::streamsize size) {
    waiting_.append(text, static_cast<std::size_t>(size));
    return size;
}

int ShownErrors::sync() {
    const std::string out = shown(waiting_);
    waiting_.clear();
    const auto size = static_cast<std::streamsize>(out.size());
    return below_->sputn(out.data(), size) == size && below_->pubsync() == 0 ? 0 : -1;
}

}  // namespace toprail::command
