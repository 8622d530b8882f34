// Receipts as people handle them: kept by decide, replayed, redacted, signed.
#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <sys/wait.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

namespace {

namespace fs = std::filesystem;

const std::string golden = TOPRAIL_SOURCE_DIR "/tests/golden";

/// A folder of its own, and the command run with its output in there.
class Desk {
  public:
    Desk() {
        std::string name = (fs::temp_directory_path() / "toprail-desk-XXXXXX").string();
        REQUIRE(::mkdtemp(name.data()) != nullptr);
        path_ = name;
    }
    ~Desk() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    Desk(const Desk&) = delete;
    Desk& operator=(const Desk&) = delete;

    [[nodiscard]] std::string file(const std::string& name) const { return path_ + "/" + name; }

    /// The exit status; what was printed is in `said`.
    int run(const std::string& arguments) {
        const std::string line = std::string(TOPRAIL_COMMAND) + " " + arguments + " > " +
                                 file("said") + " 2>&1 < /dev/null";
        const int status = std::system(line.c_str());
        said = read("said");
        return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    }
    int decide(const std::string& more) {
        return run("decide --facts " + golden + "/facts.yaml --on 2024-06-01 --packs " + golden +
                   "/packs " + more);
    }
    int replay(const std::string& more) {
        return run("replay --packs " + golden + "/packs " + more);
    }

    [[nodiscard]] std::string read(const std::string& name) const {
        std::ifstream stream(file(name), std::ios::binary);
        std::ostringstream text;
        text << stream.rdbuf();
        return text.str();
    }
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(file(name), std::ios::binary) << text;
    }
    /// A copy in which one figure of the first receipt was altered, with something behind it.
    void alter(const std::string& name, const std::string& copy,
               const std::string& more = {}) const {
        std::string text = read(name);
        text[text.find("14.50")] = '9';
        write(copy, text + more);
    }
    [[nodiscard]] bool says(const std::string& piece) const {
        return said.find(piece) != std::string::npos;
    }

    std::string said;

  private:
    std::string path_;
};

constexpr int undetermined = 3;

TEST_CASE("command: receipts that decide keeps replay as identical") {
    Desk desk;
    CHECK(desk.decide("--receipt " + desk.file("all")) == undetermined);
    CHECK(desk.decide("--receipt " + desk.file("all")) == undetermined);
    CHECK(desk.replay(desk.file("all")) == 0);
    CHECK(desk.says("6 receipts: 6 identical"));
    CHECK(desk.decide("--receipts " + desk.file("each")) == undetermined);
    CHECK(desk.replay(desk.file("each/boom.receipt")) == 0);
    // A receipt is never written over.
    CHECK(desk.decide("--receipts " + desk.file("each")) == 2);
}

TEST_CASE("command: replay tells altered from unreadable") {
    Desk desk;
    desk.decide("--receipt " + desk.file("all"));
    desk.alter("all", "altered");
    CHECK(desk.replay(desk.file("altered")) == 1);
    CHECK(desk.says("altered:1: altered"));
    CHECK(desk.says("\n1 ALTERED; 2 other receipts: 2 identical\n"));
    desk.write("odd", desk.read("all") + "not a receipt\n");
    CHECK(desk.replay(desk.file("odd")) == 2);
    CHECK(desk.says("odd:4: unreadable"));
    CHECK(desk.replay(desk.file("none")) == 2);
}

TEST_CASE("command: replay against other packs names what differs and the provision") {
    Desk desk;
    desk.decide("--receipt " + desk.file("all"));
    fs::copy(golden + "/packs", desk.file("packs"));
    std::ifstream stream(desk.file("packs/base.yaml"));
    std::ostringstream base;
    base << stream.rdbuf();
    std::string text = base.str();
    const std::string was = "height is more than 30 ft";
    text.replace(text.find(was), was.size(), "height is more than 50 ft");
    desk.write("packs/base.yaml", text);
    CHECK(desk.run("replay --against " + desk.file("packs") + " " + desk.file("all")) == 1);
    CHECK(desk.says("duty spotter\n    was: required\n    now: not addressed"));
    CHECK(desk.says("by yard.base/watch (Base 2) was changed and fell away\n"
                    "      changed condition: the height is more than 30 ft -> is more than 50 ft; "
                    "given height: 31 ft\n"
                    "      then: stands: spotter: required; the height is more than 30 ft "
                    "(height: 31 ft) [true]; Somebody watches.\n"
                    "      now: falls: spotter: required; the height is more than 50 ft "
                    "(height: 31 ft) [false]; Somebody watches.\n"));
    CHECK(desk.says("3 receipts: 2 with the same conclusions on the same grounds, 1 differs"));
    CHECK_FALSE(desk.says("replay --against FOLDER tells"));
    // Plain replay looks at every word, and says where to look for conclusions.
    CHECK(desk.run("replay --packs " + desk.file("packs") + " " + desk.file("all")) == 1);
    CHECK(desk.says("replay --against FOLDER tells"));
}

TEST_CASE("command: a receipt log is kept, replayed and checked") {
    Desk desk;
    CHECK(desk.decide("--log " + desk.file("log")) == undetermined);
    CHECK(desk.replay("--log " + desk.file("log")) == 0);
    CHECK(desk.says("3 entries; the last is number 3"));
    std::string text = desk.read("log");
    text.erase(0, text.find('\n') + 1);
    desk.write("log", text);
    CHECK(desk.replay("--log " + desk.file("log")) == 1);
    CHECK(desk.says("entries were removed, added or reordered"));
    CHECK(desk.says("\n1 OUT OF PLACE in the log; 2 receipts: 2 identical\n"));
    // A file of receipts is no log: nothing of it counts, and what to do instead is said.
    desk.decide("--receipt " + desk.file("all"));
    CHECK(desk.replay("--log " + desk.file("all")) == 1);
    CHECK(desk.says("a receipt, not an entry of a log: files of receipts are replayed without"));
    CHECK(desk.replay("--log " + desk.file("log")) == 1);
    CHECK_FALSE(desk.says("replayed without"));
    // Where the log cannot be kept, no answer is shown.
    CHECK(desk.decide("--log " + desk.file("none/log")) == 2);
    CHECK_FALSE(desk.says("tie-off"));
}

TEST_CASE("command: a log that was chained anew does not hold what was noted") {
    Desk desk;
    desk.decide("--log " + desk.file("log"));
    CHECK(desk.replay("--log " + desk.file("log")) == 0);
    const std::size_t at = desk.said.find("digest ") + 7;
    const std::string noted = " --noted 3:" + desk.said.substr(at, 64);
    CHECK(desk.replay("--log " + desk.file("log") + noted) == 0);
    // Of the same cases, in a log of its own: every entry is whole.
    desk.run("decide --facts " + golden + "/facts.yaml --on 2024-06-02 --packs " + golden +
             "/packs --log " + desk.file("other"));
    CHECK(desk.replay("--log " + desk.file("other")) == 0);
    CHECK(desk.replay("--log " + desk.file("other") + noted) == 1);
    CHECK(desk.says("entry 3 with the digest that was noted is not in the log"));
    CHECK(desk.replay("--log " + desk.file("log") + " --noted 3") == 2);
    CHECK(desk.replay(noted + " " + desk.file("log")) == 2);
}

TEST_CASE("command: an altered entry of a log is counted apart, before what is identical") {
    Desk desk;
    desk.decide("--log " + desk.file("log"));
    desk.alter("log", "log");
    CHECK(desk.replay("--log " + desk.file("log")) == 1);
    CHECK(desk.says("log:1: the entry was altered"));
    CHECK(desk.says("\n1 ALTERED; 2 other receipts: 2 identical\n"));
}

TEST_CASE("command: replay as JSON gives an object for each receipt, and a summary") {
    Desk desk;
    desk.decide("--receipt " + desk.file("all"));
    desk.alter("all", "odd", "not a receipt\n");
    CHECK(desk.replay("--format json " + desk.file("odd")) == 2);
    std::vector<nlohmann::json> lines;
    std::istringstream stream(desk.said);
    for (std::string line; std::getline(stream, line);) {
        lines.push_back(nlohmann::json::parse(line));
    }
    REQUIRE(lines.size() == 5);
    CHECK(lines[0]["verdict"] == "altered");
    CHECK(lines[1]["verdict"] == "identical");
    CHECK(lines[1]["differences"].empty());
    CHECK(lines[3]["verdict"] == "unreadable");
    const nlohmann::json summary = {
        {"altered", 1},       {"out-of-place", 0}, {"receipts", 3},        {"same", 2},
        {"other-grounds", 0}, {"redacted", 0},     {"not-vouched-for", 0}, {"differ", 0},
        {"unreadable", 1}};
    CHECK(lines[4] == nlohmann::json{{"summary", summary}});
    desk.decide("--log " + desk.file("log"));
    CHECK(desk.replay("--format json --log " + desk.file("log")) == 0);
    CHECK(desk.says("\"entries\":3,\"number\":3"));
}

TEST_CASE("command: a fact is redacted and the rest verifies") {
    Desk desk;
    desk.decide("--case boom --redactable --receipt " + desk.file("one"));
    CHECK(desk.run("redact --fact height " + desk.file("one")) == 0);
    CHECK_FALSE(desk.says("31 ft"));
    CHECK(desk.says("toprail: outcomes, and which provisions stand, were not taken out"));
    desk.write("redacted", desk.said.substr(desk.said.find('{')));
    CHECK(desk.replay(desk.file("redacted")) == 1);
    CHECK(desk.says("the fact height was removed"));
    CHECK(desk.says("1 receipt: 0 identical, 1 redacted"));
    CHECK(desk.says("no receipt was decided again"));
    // Beside others it is counted apart, and is no difference.
    CHECK(desk.replay(desk.file("redacted") + " " + desk.file("one")) == 0);
    CHECK(desk.says("2 receipts: 1 identical, 1 redacted: intact"));
    // What is missing is said before anything is told.
    CHECK(desk.run("tell --length answer " + desk.file("redacted")) == 0);
    CHECK(desk.says("\nREDACTED, what rests on it is missing, cautions too: height\n"));
    CHECK(desk.run("tell --format html " + desk.file("redacted")) == 0);
    CHECK(desk.says("<p>REDACTED, what rests on it is missing, cautions too: height</p>"));
    CHECK(desk.run("redact --fact colour " + desk.file("one")) == 2);
}

TEST_CASE("command: only approved rulepacks are loaded, and receipts are signed") {
    Desk desk;
    fs::copy(golden + "/packs", desk.file("packs"));
    const std::string key = desk.file("key");
    CHECK(desk.run("sign --new-key " + key) == 0);
    CHECK(desk.run("sign --new-key " + key) == 2);
    const std::string decide = "decide --facts " + golden + "/facts.yaml --on 2024-06-01 --packs " +
                               desk.file("packs") + " --approved-by " + key + ".public";
    CHECK(desk.run(decide) == 2);
    CHECK(desk.says("not-approved"));
    CHECK(desk.run("sign --key " + key + " " + desk.file("packs") + "/*.yaml") == 0);
    CHECK(desk.run(decide + " --sign " + key + " --receipt " + desk.file("all")) == undetermined);
    CHECK(desk.replay(desk.file("all")) == 0);
    CHECK(desk.says("3 are signed, by whom was not asked: --signed-by"));
    CHECK(desk.replay("--signed-by " + key + ".public " + desk.file("all")) == 0);
    CHECK(desk.says("each is signed by a key that counts"));
    CHECK_FALSE(desk.says("was not asked"));
    CHECK(desk.run("sign --new-key " + desk.file("other")) == 0);
    CHECK(desk.replay("--signed-by " + desk.file("other") + ".public " + desk.file("all")) == 1);
    CHECK(desk.says("not signed by a key that counts"));
    CHECK_FALSE(desk.says("each is signed"));
}

TEST_CASE("command: the site and what the case was described as are kept and told") {
    Desk desk;
    desk.write("facts", "site: North yard\ncases:\n  - case: boom\n    says: Behind the tank.\n"
                        "    facts: {machine: boom, height: 31 ft}\n");
    CHECK(desk.run("decide --facts " + desk.file("facts") + " --on 2024-06-01 --packs " + golden +
                   "/packs --receipt " + desk.file("kept")) == 0);
    CHECK(desk.replay(desk.file("kept")) == 0);
    CHECK(desk.run("tell " + desk.file("kept")) == 0);
    CHECK(desk.says("; decided for 2024-06-01\nsigned by nobody: "));
    CHECK(desk.says("can make such a receipt\nsite: North yard\n\n"));
    CHECK(desk.says("described as: Behind the tank."));
    CHECK(desk.run("tell --format html " + desk.file("kept")) == 0);
    CHECK(desk.says("such a receipt</p>\n<p>site: North yard</p>"));
    CHECK(desk.says("Behind the tank."));
}

TEST_CASE("command: a receipt is told with no rulepack at hand") {
    Desk desk;
    desk.decide("--receipt " + desk.file("all"));
    CHECK(desk.run("tell " + desk.file("all")) == 0);
    CHECK(desk.says("all:1\nfrom its receipt, intact: format 2, version "));
    CHECK(desk.says("tie-off               UNDETERMINED: required or not required"));
    CHECK(desk.says("height: 14.50 ft, from: tape measure"));
    CHECK(desk.run("tell --case boom --length everything " + desk.file("all")) == 0);
    CHECK_FALSE(desk.says("14.50 ft"));
    CHECK(desk.says("rulepacks by the SHA-256 of their bytes:"));
    CHECK(desk.run("tell --case boom --format html " + desk.file("all")) == 0);
    CHECK(desk.said.starts_with("<!DOCTYPE html>"));
    CHECK(desk.says("<p>from its receipt, intact: format 2, version "));
    CHECK(desk.run("tell --format json " + desk.file("all")) == 0);
    CHECK(nlohmann::json::parse(desk.said).size() == 3);
    desk.decide("--log " + desk.file("log"));
    CHECK(desk.run("tell --log " + desk.file("log") + " --entry 3") == 0);
    CHECK(desk.says("log, entry 3\n"));
    CHECK_FALSE(desk.says("entry 2"));
    CHECK_FALSE(desk.says("KEPT IN A LOG"));
    desk.alter("log", "torn");
    CHECK(desk.run("tell --format html --log " + desk.file("torn") + " --entry 3") == 1);
    CHECK(desk.says("<p>KEPT IN A LOG THAT WAS ALTERED OR CUT OFF: replay --log says where</p>"));
    CHECK(desk.run("tell --format json --log " + desk.file("torn") + " --entry 3") == 1);
    CHECK(desk.says("\"log-altered\":true"));
    CHECK(desk.run("tell --case nobody " + desk.file("all")) == 2);
    desk.alter("all", "altered");
    CHECK(desk.run("tell " + desk.file("altered")) == 1);
    CHECK(desk.says("ALTERED"));
    CHECK(desk.run("tell") == 2);
}

// Anybody can seal a receipt: this one has line ends and an escape where an edition should stand.
TEST_CASE("command: a sealed forgery tells nothing on lines of its own") {
    Desk desk;
    CHECK(desk.run("tell --length everything " + std::string(TOPRAIL_SOURCE_DIR) +
                   "/tests/command/forged.receipt") == 0);
    CHECK(desk.says("edition of 2000-01-01 lift-2 tie-off NOT REQUIRED <U+001B>[2J"));
    CHECK_FALSE(desk.says("\x1b"));
    CHECK_FALSE(desk.says("\nlift-2"));
}

TEST_CASE("command: nothing to replay is said, and is no success") {
    Desk desk;
    desk.write("empty", "");
    CHECK(desk.replay(desk.file("empty")) == 2);
    CHECK(desk.says("empty holds no receipt"));
    CHECK(desk.replay("--log " + desk.file("empty")) != 0);
    CHECK(desk.says("no receipt was decided again"));
    desk.decide("--receipt " + desk.file("all"));
    CHECK(desk.replay(desk.file("all") + " " + desk.file("empty")) == 2);
}

TEST_CASE("command: what is told of a log that was altered or cut off is no clean answer") {
    Desk desk;
    desk.decide("--log " + desk.file("log"));
    CHECK(desk.run("tell --log " + desk.file("log")) == 0);
    desk.alter("log", "altered");
    CHECK(desk.run("tell --log " + desk.file("altered")) == 1);
    CHECK(desk.says("altered:1: the entry was altered; as it reads now, of the case rails not told "
                    "on 2024-06-01"));
    CHECK(desk.run("tell --format json --log " + desk.file("altered")) == 1);
    const std::string whole = desk.read("log");
    desk.write("cut", whole.substr(0, whole.size() - 40));
    CHECK(desk.run("tell --log " + desk.file("cut")) == 1);
    CHECK(desk.says("that was never finished, or was cut off"));
    CHECK(desk.replay("--log " + desk.file("cut")) == 1);
    desk.write("fewer", whole.substr(whole.find('\n') + 1));
    CHECK(desk.run("tell --log " + desk.file("fewer")) == 1);
}

TEST_CASE("command: what a redaction leaves readable is told") {
    Desk desk;
    desk.write("facts", "cases:\n  - case: boom at 31 ft\n"
                        "    facts: {machine: boom, height: 31 ft}\n");
    desk.run("decide --redactable --facts " + desk.file("facts") + " --on 2024-06-01 --packs " +
             golden + "/packs --receipt " + desk.file("one"));
    CHECK(desk.run("redact --fact height " + desk.file("one")) == 0);
    CHECK(desk.says("\"31 ft\", the value of height, still stands 1 time in"));
    CHECK(desk.run("sign --new-key " + desk.file("key")) == 0);
    CHECK(desk.run("sign --key " + desk.file("key") + " " + desk.file("one")) == 2);
    CHECK(desk.says("receipts are signed when they are made"));
}

TEST_CASE("command: a log among the receipts is known for one") {
    Desk desk;
    desk.decide("--log " + desk.file("log"));
    CHECK(desk.replay(desk.file("log")) == 2);
    CHECK(desk.says("looks like a receipt log: replay it with --log"));
}

TEST_CASE("command: a copy of a log's entry is redacted, and the log stays") {
    Desk desk;
    desk.decide("--redactable --log " + desk.file("log"));
    const std::string before = desk.read("log");
    CHECK(desk.run("redact --fact height --log " + desk.file("log") + " --entry 3") == 0);
    CHECK_FALSE(desk.says("31 ft"));
    CHECK(desk.read("log") == before);
    CHECK(desk.run("redact --fact height --log " + desk.file("log") + " --entry 4") == 2);
    CHECK(desk.says("holds no entry 4"));
    CHECK(desk.run("redact --fact height --log " + desk.file("log")) == 2);
    CHECK(desk.run("redact --fact height") == 2);
    CHECK(desk.run("redact --help") == 0);
    CHECK(desk.says("A log is never changed"));
}

TEST_CASE("command: a page, a drawing, and what would change the answer") {
    Desk desk;
    CHECK(desk.decide("--format html") == undetermined);
    CHECK(desk.said.starts_with("<!DOCTYPE html>"));
    CHECK(desk.says("<h2 id=\"case-3\">boom, decided for 2024-06-01</h2>"));
    CHECK(desk.decide("--format dot") == 2);
    CHECK(desk.decide("--case boom --format html") == 0);
    CHECK(desk.says("<h1>boom, decided for 2024-06-01</h1>"));
    CHECK(desk.decide("--case boom --format dot") == 0);
    CHECK(desk.said.starts_with("digraph"));
    CHECK(desk.decide("--case boom --what-would-change spotter") == 0);
    CHECK(desk.says("if height is at most 30 ft (now 31 ft): not addressed"));
    CHECK(desk.says("proved smallest"));
    CHECK(desk.decide("--what-would-change none") == 2);
}

TEST_CASE("command: where a receipt cannot be kept, that is found before anything is decided") {
    Desk desk;
    const auto cases = [&desk](const std::string& first, const std::string& second) {
        desk.write("f.yaml", "cases:\n  - {case: \"" + first +
                                 "\", facts: {machine: boom}}\n  - {case: \"" + second +
                                 "\", facts: {machine: boom}}\n");
        return desk.run("decide --facts " + desk.file("f.yaml") + " --on 2024-06-01 --packs " +
                        golden + "/packs --receipts " + desk.file("kept"));
    };
    const auto kept = [&desk] {
        const fs::directory_iterator begin(desk.file("kept"));
        return std::distance(begin, fs::directory_iterator{});
    };
    CHECK(cases("a b", "a-b") == 2);
    CHECK(desk.says("kept/a-b.receipt would be that of two cases; nothing was decided"));
    CHECK(cases("a", std::string(300, 'b')) == 2);
    CHECK(desk.says("File name too long; nothing was decided"));
    CHECK(kept() == 0);
    CHECK(cases("a", "b") == undetermined);
    CHECK(kept() == 2);
    CHECK(cases("c", "b") == 2);
    CHECK(desk.says("kept/b.receipt is there already; nothing was decided"));
    CHECK(kept() == 2);
}

TEST_CASE("command: a name that is empty is not one that was left out") {
    Desk desk;
    for (const char* option : {"--receipt", "--receipts", "--log", "--sign", "--case"}) {
        CAPTURE(option);
        CHECK(desk.decide(std::string(option) + " ''") == 2);
        CHECK(desk.says(option));
        CHECK(desk.says("a name is needed, and this is empty"));
    }
}

TEST_CASE("command: a duty that is none is known before a receipt is kept") {
    Desk desk;
    const std::string receipt = " --receipt " + desk.file("r");
    CHECK(desk.decide("--what-would-change tie-of" + receipt) == 2);
    CHECK(desk.says("no duty is called tie-of; there are "));
    CHECK(desk.says("tie-off"));
    CHECK(desk.decide("--what-would-change tie-off --format json" + receipt) == 2);
    CHECK_FALSE(fs::exists(desk.file("r")));
    CHECK(desk.decide("--what-would-change tie-off --case nobody" + receipt) == 2);
    CHECK_FALSE(fs::exists(desk.file("r")));
}

TEST_CASE("command: where the answer cannot be written the rest is not decided") {
    Desk desk;
    // Larger than what is held back before it is written.
    std::string cases = "cases:\n";
    for (int i = 0; i < 400; ++i) {
        cases += "  - {case: c" + std::to_string(i) + ", facts: {machine: boom}}\n";
    }
    desk.write("f.yaml", cases);
    const std::string line = std::string(TOPRAIL_COMMAND) + " decide --facts " +
                             desk.file("f.yaml") + " --on 2024-06-01 --packs " + golden +
                             "/packs --receipt " + desk.file("r") + " > /dev/full 2> " +
                             desk.file("said");
    const int status = std::system(line.c_str());
    CHECK((WIFEXITED(status) ? WEXITSTATUS(status) : -1) == 2);
    CHECK(desk.read("said").find("the answer could not be written in full") != std::string::npos);
    const std::string receipts = desk.read("r");
    const auto kept = std::count(receipts.begin(), receipts.end(), '\n');
    CHECK(kept >= 1);
    CHECK(kept < 400);
}

TEST_CASE("command: a facts file without cases is no clean answer") {
    Desk desk;
    desk.write("f.yaml", "cases: []\n");
    CHECK(desk.run("decide --facts " + desk.file("f.yaml") + " --on 2024-06-01 --packs " + golden +
                   "/packs") == 2);
    CHECK(desk.says("no case stands here"));
    CHECK(desk.says("empty-list"));
}

TEST_CASE("command: entries of a log are counted from 1") {
    Desk desk;
    CHECK(desk.decide("--log " + desk.file("l")) == undetermined);
    CHECK(desk.run("tell --log " + desk.file("l") + " --entry 0") == 2);
    CHECK(desk.says("--entry"));
    CHECK(desk.run("tell --log " + desk.file("l") + " --entry 1") == 0);
}

}  // namespace
