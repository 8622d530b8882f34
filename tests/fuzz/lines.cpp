// Lines of cases. The first one comes again and again, so that its layout is known to whoever reads
// the others; every line must come to what it comes to by itself.
#include "fuzz/holding.hpp"
#include "support/lines_apart.hpp"
#include "support/shelves.hpp"

using namespace toprail;

namespace {

const BulkPlan& plan() {
    static const BulkPlan made = [] {
        BulkOptions how;
        how.authorities = {"us.federal.construction"};
        how.duties = {"tie-off"};
        return *plan_bulk(test::shipped_shelf(), *Date::parse("2024-06-01"), how).plan;
    }();
    return made;
}

// Every reader knows all facts of the vocabulary, which takes a while to set up.
constexpr std::size_t most_lines = 40;

std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> all;
    while (!text.empty() && all.size() < 5 * most_lines) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        all.emplace_back(text.substr(0, end));
        all.insert(all.end(), 4, all.front());
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return all;
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::vector<std::string> lines = lines_of(fuzz::text_of(data, size));
    lines::Batch batch(plan());
    std::vector<test::Came> expected;
    test::Came first;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const bool other = i % 5 == 0;
        test::Came came = other ? test::alone(plan(), lines[i], batch) : first;
        first = i == 0 ? came : first;
        if (!came.blank) {
            expected.push_back(std::move(came));
        }
    }
    const test::LinesText text(lines);
    for (const test::Way& way : test::ways()) {
        fuzz::hold(test::together(plan(), text, way.read, batch) == expected,
                   "lines come to what each comes to by itself");
    }
    return 0;
}
