// Bytes of vocabularies and rulepacks: read, resolved, linted and decided with. A form feed, which
// no file may hold, parts one file from the next; a small vocabulary is there in any case.
#include "fuzz/holding.hpp"
#include "support/small_shelf.hpp"

using namespace toprail;

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    std::string_view rest = fuzz::text_of(data, size);
    std::vector<SourceText> texts{test::small_vocabulary()};
    constexpr std::size_t most_files = 4;
    while (!rest.empty() && texts.size() <= most_files) {
        const std::size_t end = rest.find('\f');
        texts.push_back(
            {"file-" + std::to_string(texts.size()) + ".yaml", std::string(rest.substr(0, end))});
        rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    }
    LoadOptions how;
    how.limits = fuzz::small_limits();
    const LoadedShelf loaded = load_shelf(std::move(texts), how);
    fuzz::hold(loaded.shelf.has_value() != has_error(loaded.findings),
               "an error leaves no shelf, and only an error does");
    fuzz::hold_findings(loaded.findings);
    if (loaded.shelf) {
        fuzz::hold_findings(lint_shelf(*loaded.shelf));
        fuzz::hold_deciding(*loaded.shelf, {}, "nothing known");
        Facts facts;
        facts.set("mechanism", "boom").set("height", "12 ft").set("gate-open", "yes");
        fuzz::hold_deciding(*loaded.shelf, facts, "something known");
    }
    return 0;
}
