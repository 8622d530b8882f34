// Entry points: is_shelf_list, check_shelf_list.
#include "shelf/shelf_list.hpp"

#include "reading/fields.hpp"
#include "shelf/build.hpp"

#include <algorithm>
#include <charconv>
#include <set>

namespace toprail {
namespace {

std::size_t entries_of(const Rulepack& pack, std::string_view key) {
    const Node* list = pack.tree->find(key);
    return list != nullptr && list->is_list() ? list->items.size() : 0;
}

std::string named(const Rulepack& pack) {
    return pack.id + " of " + pack.from.text();
}

std::string line_of(const Rulepack& pack) {
    return "- {rulepack: " + pack.id + ", from: " + pack.from.text() +
           ", provisions: " + std::to_string(entries_of(pack, "provisions")) +
           ", worked-cases: " + std::to_string(entries_of(pack, "worked-cases")) + "}";
}

// The folder of a file, with its last stroke; empty for a bare name.
std::string_view folder_of(std::string_view file) {
    return file.substr(0, file.rfind('/') + 1);
}

class ListCheck {
  public:
    ListCheck(const Node& root, const Model& model, bool for_deciding, Findings& findings)
        : root_(root),
          model_(model),
          lacking_(for_deciding ? Severity::error : Severity::warning),
          findings_(findings) {}

    void run() {
        Fields fields(root_, "the list of a shelf", findings_);
        fields.require_text("shelf");
        for (const Word& name : fields.words("vocabularies")) {
            check_vocabulary(name);
        }
        fields.require("rulepacks");
        const Node* packs = fields.list("rulepacks");
        if (packs != nullptr) {
            for (const Node& item : packs->items) {
                check_item(item);
            }
        }
        check_end(fields, packs);
        fields.finish();
        report_unlisted();
    }

  private:
    Finding& add_lacking(const Span& span, std::string says) {
        Finding& finding = findings_.add(Kind::listed_not_found, span, std::move(says));
        finding.severity = lacking_;
        return finding;
    }

    void check_vocabulary(const Word& name) {
        if (std::find(model_.vocabularies.begin(), model_.vocabularies.end(), name.text) ==
            model_.vocabularies.end()) {
            add_lacking(name.span, "the vocabulary " + name.text + " is listed, but was not found")
                .help = "put its file back; if it was taken out on purpose, take " + name.text +
                        " out of this line";
        }
    }

    // The list may lose its end too, so its last line says how long it is.
    void check_end(Fields& fields, const Node* packs) {
        const std::size_t lines = packs != nullptr ? packs->items.size() : 0;
        const std::string line = "in-all: " + std::to_string(lines);
        const Word told = fields.word("in-all");
        if (told.text.empty()) {
            findings_
                .add(Kind::missing_key, root_.span,
                     "the list does not say how many rulepacks are on it, so its end may be lost")
                .help =
                "fetch the whole file again; if nothing is lost, write as its last line: " + line;
            return;
        }
        const std::optional<std::size_t> wanted = number(told, "lines");
        if (wanted && *wanted != lines) {
            add_lacking(told.span, "the list holds " + std::to_string(lines) +
                                       " rulepacks, its last line says " + std::to_string(*wanted))
                .help = "fetch the whole file again; if the list was changed on purpose, change "
                        "this line to " +
                        line;
        }
    }

    std::optional<std::size_t> number(const Word& told, std::string_view of) {
        std::size_t read = 0;
        const char* const end = told.text.data() + told.text.size();
        const auto end_of = std::from_chars(told.text.data(), end, read);
        if (end_of.ec == std::errc() && end_of.ptr == end) {
            return read;
        }
        findings_
            .add(Kind::bad_number, told.span,
                 "\"" + told.text + "\" is not a number of " + std::string(of))
            .help = "write how many there are, such as 12";
        return std::nullopt;
    }

    void check_item(const Node& item) {
        Fields fields(item, "a listed rulepack", findings_);
        fields.require("rulepack");
        const Word id = fields.word("rulepack");
        fields.require("from");
        const std::optional<Date> from = fields.date("from");
        fields.require("provisions");
        const Word provisions = fields.word("provisions");
        const Word cases = fields.word("worked-cases");
        fields.finish();
        if (id.text.empty() || !from || provisions.text.empty()) {
            return;
        }
        const Rulepack* pack = find(id, *from);
        if (pack != nullptr) {
            listed_.insert(pack);
            check_count(*pack, "provisions", provisions);
            if (!cases.text.empty()) {
                check_count(*pack, "worked-cases", cases);
            }
        }
    }

    const Rulepack* find(const Word& id, Date from) {
        const Rulepack* other = nullptr;
        for (const Rulepack& pack : model_.packs) {
            if (pack.id == id.text && pack.from == from) {
                return &pack;
            }
            other = pack.id == id.text ? &pack : other;
        }
        Finding& finding = add_lacking(id.span, "the rulepack " + id.text + " of " + from.text() +
                                                    " is listed, but was not found");
        finding.help = "put its file back; if it was taken out on purpose, take out this line";
        if (other != nullptr) {
            finding.others.push_back({place_of(other->span), "another edition is here"});
            finding.help += "; if its edition was given another day, change from: in this line";
        }
        return nullptr;
    }

    void check_count(const Rulepack& pack, std::string_view what, const Word& listed) {
        const std::optional<std::size_t> wanted = number(listed, what);
        const std::size_t found = entries_of(pack, what);
        if (!wanted || found == *wanted) {
            return;
        }
        const bool less = found < *wanted;
        const std::string says = named(pack) + " holds " + std::to_string(found) + " " +
                                 std::string(what) + ", the list says " + std::to_string(*wanted);
        Finding& finding = less ? add_lacking(listed.span, says)
                                : findings_.add(Kind::list_behind, listed.span, says);
        finding.others.push_back({place_of(pack.span), "the rulepack"});
        const std::string change =
            "change this line to " + std::string(what) + ": " + std::to_string(found);
        finding.help = less ? "fetch the whole file again: its end may be lost; if some were taken "
                              "out on purpose, " +
                                  change
                            : change + ", so that the loss of one is noticed";
    }

    // Templates are to be copied, and count nowhere unless they are named.
    void report_unlisted() {
        const std::string_view folder = folder_of(root_.span.source->name());
        for (const Rulepack& pack : model_.packs) {
            const std::string_view file = pack.source->name();
            const bool here = file.starts_with(folder) && (!folder.empty() || file.front() != '/');
            if (!here || listed_.contains(&pack) ||
                file.substr(folder.size()).starts_with(std::string(templates_folder) + "/")) {
                continue;
            }
            findings_
                .add(Kind::list_behind, pack.span,
                     named(pack) + " is not on the list of its folder, " +
                         root_.span.source->name())
                .help =
                "so that its loss is noticed, raise in-all by one and add this line to the list: " +
                line_of(pack);
        }
    }

    const Node& root_;
    const Model& model_;
    Severity lacking_;
    Findings& findings_;
    std::set<const Rulepack*> listed_;
};

}  // namespace

bool is_shelf_list(const Node& root) {
    return root.is_map() && root.find("shelf") != nullptr && root.find("rulepack") == nullptr &&
           root.find("vocabulary") == nullptr;
}

void check_shelf_list(const Node& root, const Model& model, bool for_deciding, Findings& findings) {
    ListCheck(root, model, for_deciding, findings).run();
}

}  // namespace toprail
