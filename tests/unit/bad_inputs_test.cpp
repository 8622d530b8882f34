// Every file of tests/bad holds a slip and says in its first lines which findings it must bring,
// and where: "# expects: code line:column". Exactly those must come, no more and no fewer.
//
// Further lines of the head: "# limits: bytes 200" lowers a limit, "# with: sound.yaml" adds a file
// of tests/bad/with to the shelf, "# on:" and "# authority:" decide a facts file so. Notes count
// only where "# notes:" says so.
#include "findings/kinds.hpp"
#include "support/shelves.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>

using namespace toprail;
using namespace toprail::test;

namespace {

namespace fs = std::filesystem;

std::string bad_folder() {
    return TOPRAIL_SOURCE_DIR "/tests/bad";
}

std::string bytes_of(const std::string& name) {
    std::ifstream stream(bad_folder() + "/" + name, std::ios::binary);
    REQUIRE(stream.good());
    return {std::istreambuf_iterator<char>(stream), {}};
}

struct BadInput {
    std::string name;
    std::string text;
    std::vector<std::string> expects;  // "code line:column", sorted
    std::vector<std::string> with;
    LoadOptions options;
    std::string on = "2024-06-01";
    std::vector<std::string> authorities;
    bool notes = false;
};

void read_limit(const std::string& text, Limits& limits) {
    std::istringstream words(text);
    std::string limit;
    std::uint32_t value = 0;
    words >> limit >> value;
    if (limit == "bytes") {
        limits.bytes = value;
    } else if (limit == "depth") {
        limits.depth = value;
    } else if (limit == "nodes") {
        limits.nodes = value;
    } else if (limit == "text") {
        limits.text = value;
    } else if (limit == "cases") {
        limits.cases = value;
    } else if (limit == "findings") {
        limits.findings = value;
    } else {
        FAIL("no limit is called " << limit);
    }
}

BadInput read_bad(const std::string& name) {
    BadInput bad;
    bad.name = name;
    bad.options.for_deciding = false;  // many are vocabularies by themselves
    bad.text = bytes_of(name);
    std::istringstream lines(bad.text);
    std::string line;
    while (std::getline(lines, line)) {
        const std::size_t start = line.find("# ");
        const std::size_t colon = line.find(": ");
        if (start == std::string::npos || colon == std::string::npos || start > 3) {
            break;
        }
        const std::string key = line.substr(start + 2, colon - start - 2);
        const std::string value = line.substr(colon + 2);
        if (key == "expects") {
            bad.expects.push_back(value);
        } else if (key == "limits") {
            read_limit(value, bad.options.limits);
        } else if (key == "with") {
            bad.with.push_back(value);
        } else if (key == "on") {
            bad.on = value;
        } else if (key == "authority") {
            bad.authorities.push_back(value);
        } else if (key == "deciding") {
            bad.options.for_deciding = true;
        } else if (key == "notes") {
            bad.notes = true;
        } else {
            FAIL(name << ": the head has an unknown line: " << line);
        }
    }
    std::sort(bad.expects.begin(), bad.expects.end());
    return bad;
}

void append(std::vector<Finding>& all, std::vector<Finding> more) {
    std::move(more.begin(), more.end(), std::back_inserter(all));
}

std::vector<Finding> findings_of_shelf(const BadInput& bad) {
    std::vector<SourceText> texts{{"common-vocabulary.yaml", bytes_of("common-vocabulary.yaml")}};
    for (const std::string& name : bad.with) {
        texts.push_back({name, bytes_of("with/" + name)});
    }
    texts.push_back({bad.name, bad.text});
    LoadedShelf loaded = load_shelf(std::move(texts), bad.options);
    std::vector<Finding> all = std::move(loaded.findings);
    if (loaded.shelf) {
        append(all, lint_shelf(*loaded.shelf));
    }
    // What a lowered limit or its unused facts bring in the common vocabulary is no slip of the
    // file.
    std::erase_if(
        all, [](const Finding& finding) { return finding.place.file == "common-vocabulary.yaml"; });
    if (!bad.notes) {
        std::erase_if(all,
                      [](const Finding& finding) { return finding.severity == Severity::note; });
    }
    return all;
}

std::vector<Finding> findings_of_facts(const BadInput& bad) {
    static const Shelf shelf =
        shelf_of({{"common-vocabulary.yaml", bytes_of("common-vocabulary.yaml")},
                  {"common-rulepack.yaml", bytes_of("common-rulepack.yaml")}});
    const FactsFile file = read_facts(bad.text, bad.name, bad.options.limits);
    std::vector<Finding> all = file.findings;
    if (has_error(all)) {
        return all;
    }
    DecideOptions options;
    options.authorities = bad.authorities;
    for (const Case& each : file.cases) {
        const Answer answer = shelf.decide(each.facts, day(bad.on), options);
        CHECK_MESSAGE(answer.decision.has_value() != has_error(answer.findings),
                      bad.name << ": an error leaves no decision, and only an error does");
        append(all, answer.findings);
    }
    return all;
}

std::vector<Finding> findings_of(const BadInput& bad) {
    return bad.name.starts_with("facts-") ? findings_of_facts(bad) : findings_of_shelf(bad);
}

std::vector<std::string> bad_names() {
    std::vector<std::string> names;
    for (const std::string& path : shelf_files(bad_folder())) {
        const fs::path relative = fs::relative(path, bad_folder());
        if (!relative.has_parent_path() && !relative.filename().string().starts_with("common-")) {
            names.push_back(relative.string());
        }
    }
    return names;
}

std::string joined(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) {
        text += "\n    " + line;
    }
    return text;
}

void hold(const BadInput& bad) {
    const std::vector<Finding> findings = findings_of(bad);
    std::vector<std::string> seen;
    for (const Finding& finding : findings) {
        seen.push_back(std::string(finding.code) + " " + std::to_string(finding.place.line) + ":" +
                       std::to_string(finding.place.column));
        CHECK_MESSAGE(!finding.message.empty(), bad.name << ": a finding says what was seen");
    }
    std::sort(seen.begin(), seen.end());
    CHECK_MESSAGE(seen == bad.expects, bad.name << " expects" << joined(bad.expects)
                                                << "\n  and brings" << joined(seen) << "\n"
                                                << told(findings));
}

}  // namespace

TEST_CASE("bad inputs: each brings exactly the findings it expects") {
    const std::vector<std::string> names = bad_names();
    CHECK(names.size() >= 125);
    for (const std::string& name : names) {
        const BadInput bad = read_bad(name);
        CHECK_MESSAGE(!bad.expects.empty(), name << " expects nothing");
        hold(bad);
    }
}

TEST_CASE("bad inputs: every kind of finding has one") {
    // Have test cases elsewhere: below, and with the signatures.
    std::set<std::string, std::less<>> expected{"not-approved", "unreadable-file"};
    for (const std::string& name : bad_names()) {
        for (const std::string& line : read_bad(name).expects) {
            expected.insert(line.substr(0, line.find(' ')));
        }
    }
    for (const FindingKind& kind : finding_kinds()) {
        CHECK_MESSAGE(expected.contains(kind.code), kind.code << " has no bad input");
    }
}

TEST_CASE("bad inputs: a folder that does not exist") {
    const LoadedShelf loaded = load_shelf(bad_folder() + "/no-such-folder");
    CHECK_FALSE(loaded.shelf);
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "unreadable-file");
    CHECK(loaded.findings.front().place.file == bad_folder() + "/no-such-folder");
    CHECK(loaded.findings.front().place.line == 0);
}

TEST_CASE("bad inputs: a file that the host does not approve") {
    LoadOptions options;
    options.approve = [](const SourceText& text) {
        return text.name == "common-rulepack.yaml" ? std::string("nobody signed it") : "";
    };
    const LoadedShelf loaded =
        load_shelf({{"common-vocabulary.yaml", bytes_of("common-vocabulary.yaml")},
                    {"common-rulepack.yaml", bytes_of("common-rulepack.yaml")}},
                   options);
    CHECK_FALSE(loaded.shelf);
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "not-approved");
    CHECK(loaded.findings.front().message == "nobody signed it");
    CHECK(loaded.findings.front().place.file == "common-rulepack.yaml");
}

TEST_CASE("bad inputs: a folder without a rulepack") {
    const LoadedShelf loaded = load_shelf(TOPRAIL_SOURCE_DIR "/tests/published");
    CHECK_FALSE(loaded.shelf);
    REQUIRE(loaded.findings.size() == 1);
    CHECK(loaded.findings.front().code == "unreadable-file");
}

TEST_CASE("bad inputs: the table of kinds and the enumeration have one length") {
    CHECK(finding_kinds().size() == static_cast<std::size_t>(Kind::last_));
    std::set<std::string_view> codes;
    for (const FindingKind& kind : finding_kinds()) {
        CHECK_MESSAGE(codes.insert(kind.code).second, kind.code << " stands twice");
    }
}

TEST_CASE("bad inputs: cut anywhere, a text is read or refused, never worse") {
    for (const char* name : {"four-slips-at-once.yaml", "common-rulepack.yaml"}) {
        const std::string whole = bytes_of(name);
        const std::string vocabulary = bytes_of("common-vocabulary.yaml");
        for (std::size_t size = 0; size < whole.size(); ++size) {
            const LoadedShelf loaded =
                load_shelf({{"common-vocabulary.yaml", vocabulary}, {name, whole.substr(0, size)}});
            CHECK_MESSAGE(loaded.shelf.has_value() != has_error(loaded.findings),
                          name << " cut after " << size << " bytes");
        }
    }
}
