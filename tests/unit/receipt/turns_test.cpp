// What turned between a receipt and the packs of now, in words: choices, limits, displacement,
// authorities that come and go, and receipts that do not say all they should.
#include "receipt_support.hpp"
#include "support/small_shelf.hpp"
#include "toprail/redaction.hpp"
#include "toprail/replay.hpp"

#include <functional>

namespace toprail::test {
namespace {

Receipt read(const std::string& text) {
    const ReadReceipt result = read_receipt(text);
    REQUIRE_MESSAGE(result.receipt, result.message);
    return *result.receipt;
}

std::string text_of(const Shelf& shelf, GivenFacts facts) {
    const MadeReceipt made =
        ReceiptMaker(shelf).make(facts_of(facts), day("2024-06-01"), {}, "lift");
    REQUIRE_MESSAGE(made.decision, told(made.findings));
    return made.text;
}

Replayed against(const std::string& was, const std::string& now, GivenFacts facts) {
    return replay_against(ReceiptMaker(small_shelf(now)), read(text_of(small_shelf(was), facts)));
}

const Difference& about(const Replayed& seen, const std::string& what, const std::string& name) {
    for (const Difference& each : seen.differences) {
        if (each.about == what && each.name == name) {
            return each;
        }
    }
    throw std::runtime_error("nothing differs about the " + what + " " + name);
}

std::vector<std::string> turns(const Difference& difference) {
    std::vector<std::string> all;
    for (const ProvisionTurn& each : difference.by) {
        all.push_back(told(each));
    }
    return all;
}

using Texts = std::vector<std::string>;

TEST_CASE("turns: a choice that loses values") {
    const Replayed seen = against(provision("a", "choice: anchor, bars: [boom]"),
                                  provision("a", "choice: anchor, bars: [boom, basket]"), {});
    CHECK(seen.verdict == ReplayVerdict::differs);
    const Difference& anchor = about(seen, "choice", "anchor");
    CHECK(anchor.was == "admissible: basket, structure");
    CHECK(anchor.now == "admissible: structure");
    CHECK(turns(anchor) == Texts{"test.pack/a (Rule a) was changed"});
}

TEST_CASE("turns: a choice of which nothing is left, or something is open") {
    const std::string bars_all = provision("a", "choice: means, bars: [arrest, restraint]");
    const std::string bars_open =
        provision("a", "choice: means, bars: [arrest, restraint]", "gate-open");
    const Difference means = about(against(bars_open, bars_all, {}), "choice", "means");
    CHECK(means.was == "admissible: none; arrest is open; restraint is open");
    CHECK(means.now == "admissible: none");
    CHECK(turns(means) == Texts{"test.pack/a (Rule a) newly stands"});
    const Difference back = about(against(bars_all, bars_open, {}), "choice", "means");
    CHECK(turns(back) == Texts{"test.pack/a (Rule a) is open now"});
    const Difference gone = about(against(bars_all, requires_tie_off("b"), {}), "choice", "means");
    CHECK(gone.now == "not spoken of");
    CHECK(turns(gone) == Texts{"test.pack/a (Rule a) is not weighed any more: it fell away"});
}

TEST_CASE("turns: a provision that another displaces now") {
    const std::string asks = requires_tie_off("asks");
    const std::string over = frees_tie_off("over", "roofed", "displaces: [asks]");
    const Replayed seen = against(asks, asks + over, {{"roofed", "yes"}});
    const Difference& duty = about(seen, "duty", "tie-off");
    CHECK(duty.now == "not required");
    CHECK(turns(duty) == Texts{"test.pack/asks (Rule asks) is displaced now",
                               "test.pack/over (Rule over) is new and newly stands"});
    const Replayed back = against(asks + over, asks, {{"roofed", "yes"}});
    CHECK(turns(about(back, "duty", "tie-off")) ==
          Texts{"test.pack/asks (Rule asks) newly stands",
                "test.pack/over (Rule over) is not weighed any more: it fell away"});
}

TEST_CASE("turns: a limit that may hold is told as perhaps") {
    const Replayed seen =
        against(provision("cap", "limit: height, at-most: 20 ft", "gate-open"),
                provision("cap", "limit: height, at-most: 20 ft"), {{"height", "4 ft"}});
    const Difference& height = about(seen, "limit", "height");
    CHECK(height.was == "perhaps at most 20 ft");
    CHECK(height.now == "at most 20 ft");
    const Replayed both = against(provision("cap", "limit: height, at-most: 20 ft"),
                                  provision("cap", "limit: height, at-most: 20 ft") +
                                      provision("floor", "limit: height, at-least: 2 ft") +
                                      provision("wide", "limit: height, at-most: 30 ft"),
                                  {{"height", "4 ft"}});
    CHECK(about(both, "limit", "height").now == "at most 20 ft; at least 2 ft");
}

TEST_CASE("turns: a condition that is new, and one that is gone") {
    const std::string one = requires_tie_off("a", "{all-of: [roofed]}");
    const std::string two = requires_tie_off("a", "{all-of: [roofed, height is more than 6 ft]}");
    const GivenFacts facts{{"roofed", "yes"}, {"height", "14 ft"}};
    const auto change = [](const Replayed& seen) {
        CHECK(seen.verdict == ReplayVerdict::other_grounds);
        const std::vector<WordingChange> changes =
            about(seen, "grounds", "tie-off").by.at(0).changes;
        REQUIRE(changes.size() == 1);
        return told(changes[0]);
    };
    CHECK(change(against(one, two, facts)) ==
          "new: the height is more than 6 ft; given height: 14 ft");
    CHECK(change(against(two, one, facts)) ==
          "gone: the height is more than 6 ft; given height: 14 ft");
}

TEST_CASE("turns: the same figure under other words is the same condition") {
    const Replayed seen =
        replay_against(ReceiptMaker(yard_with(0, "reads: the height", "reads: how far up one is")),
                       read(text_of(yard(), {{"rails", "no"}, {"height", "14 ft"}})));
    CHECK(seen.verdict == ReplayVerdict::other_grounds);
    const ProvisionTurn& by = about(seen, "grounds", "tie-off").by.at(0);
    REQUIRE(by.changes.size() == 1);
    CHECK(by.changes[0].was == "the height is at least 4 ft");
    CHECK(by.changes[0].now == "how far up one is is at least 4 ft");
    CHECK(by.changes[0].given == "height: 14 ft");
}

/// Two authorities, and a third that says who governs, where there is one.
Shelf with_policy(const std::string& governed) {
    std::vector<SourceText> texts{small_vocabulary(),
                                  small_pack("provisions:\n" + requires_tie_off("a"), "t.one"),
                                  small_pack("provisions:\n" + requires_tie_off("b"), "t.two")};
    if (!governed.empty()) {
        texts.push_back(
            small_pack("provisions:\n" + provision("who", "governs: " + governed), "t.policy"));
    }
    return shelf_of(std::move(texts));
}

TEST_CASE("turns: an authority that no longer governs, or did not then, is told as such") {
    const Shelf all = with_policy("");
    const Shelf one = with_policy("t.one");
    const Replayed now = replay(ReceiptMaker(one), read(text_of(all, {})));
    CHECK(about(now, "step", "t.two/b").now == "not weighed: t.two does not govern the case now");
    const Replayed then = replay(ReceiptMaker(all), read(text_of(one, {})));
    CHECK(about(then, "step", "t.two/b").was ==
          "not weighed: the rulepack t.two was not weighed then");
}

TEST_CASE("turns: another text of a step is a difference of wording") {
    const std::string was = requires_tie_off("a");
    std::string now = was;
    now.replace(now.find("Gist of a."), 10, "Tie off.");
    const Replayed seen =
        replay(ReceiptMaker(small_shelf(now)), read(text_of(small_shelf(was), {})));
    CHECK(seen.verdict == ReplayVerdict::differs);
    const Difference& step = about(seen, "wording", "test.pack/a");
    CHECK(step.was.find("Gist of a.") != std::string::npos);
    CHECK(step.now.find("Tie off.") != std::string::npos);
}

/// The receipt of the yard with its rails told, changed and sealed again.
Receipt forged(const std::function<void(Json&)>& change) {
    Facts facts = lift_facts();
    facts.set("rails", "no").set("line", "20 ft");
    Json root = Json::parse(receipt_with(yard(), facts).text);
    change(root);
    return read(reseal(canonical(root)));
}

// Whoever has this library can leave anything out, and seal it.
TEST_CASE("turns: what a forged receipt leaves out is told as missing, and the forgery differs") {
    const ReceiptMaker maker(yard());
    const auto was = [&maker](const std::string& what, const std::string& name,
                              const std::function<void(Json&)>& change) {
        const Receipt receipt = forged(change);
        CHECK(replay(maker, receipt).verdict == ReplayVerdict::differs);
        return about(replay_against(maker, receipt), what, name).was;
    };
    const auto tie_off_of = [](Json& root) -> Json& {
        for (Json& each : root["outcomes"]) {
            if (each["duty"] == "tie-off") {
                return each;
            }
        }
        throw std::runtime_error("no outcome of tie-off");
    };
    CHECK(was("duty", "tie-off", [&](Json& root) {
              tie_off_of(root)["outcome"] = "undetermined";
              tie_off_of(root)["possible"] = {7, "required"};
          }) == "undetermined (?, required)");
    CHECK(was("duty", "tie-off", [&](Json& root) {
              tie_off_of(root)["outcome"] = "undetermined";
              tie_off_of(root)["possible"] = Json::array();
          }) == "undetermined ()");
    CHECK(was("duty", "tie-off", [&](Json& root) {
              tie_off_of(root)["outcome"] = "not required";
              tie_off_of(root)["provisions"] = {7, "yard.rules/no-such"};
          }) == "not required");
    CHECK(was("limit", "line", [](Json& root) {
              std::erase_if(root["told"].get_ref<Json::array_t&>(),
                            [](const Json& entry) { return entry["about"] == "bound"; });
          }) == "at most a bound");
    CHECK(was("limit", "line",
              [](Json& root) { root["limits"][0]["bounds"][0].erase("strictest"); }) == "");
    CHECK(was("limit", "line",
              [](Json& root) { root["limits"][0]["bounds"][0]["strictest"] = 7; }) == "");
}

TEST_CASE("turns: a forged ground that no step tells of shows, and nothing is told of it") {
    const Receipt receipt = forged([](Json& root) {
        for (Json& each : root["outcomes"]) {
            each["provisions"].push_back("yard.rules/no-such");
        }
    });
    const Replayed seen = replay_against(ReceiptMaker(yard()), receipt);
    CHECK(seen.verdict == ReplayVerdict::other_grounds);
    const Difference& grounds = about(seen, "grounds", "tie-off");
    CHECK(grounds.was == "required, by yard.rules/no-such, yard.rules/open-rails");
    CHECK(grounds.now == "required, by yard.rules/open-rails");
    CHECK(grounds.by.empty());
}

TEST_CASE("turns: a forged reason without its figures, and a step without its texts") {
    const ReceiptMaker maker(yard());
    const Receipt bare = forged([](Json& root) {
        for (Json& entry : root["told"]) {
            if (entry["about"] == "reason") {
                entry["tells"]["says"] = entry["tells"]["truth"] == "true" ? "it is so" : "x (y";
                entry["tells"]["since"] = Json::array();
            }
        }
        for (Json& step : root["steps"]) {
            for (const char* key : {"gist", "cite", "in-force"}) {
                step.erase(key);
            }
            step["displaced-by"] = {7};
        }
        for (Json& duty : root["outcomes"]) {
            duty["outcome"] = "not required";
        }
    });
    const Difference duty = about(replay_against(maker, bare), "duty", "tie-off");
    REQUIRE_FALSE(duty.by.empty());
    CHECK(duty.by[0].was == "stands: tie-off: required; it is so [true]; it is so [true]");
    // A record that was not kept is no change.
    for (const WordingChange& each : duty.by[0].changes) {
        CHECK(each.about == "condition");
    }
}

TEST_CASE("turns: every word, and a turn of something that has no citation") {
    CHECK(word(ReplayVerdict::identical) == "identical");
    CHECK(word(ReplayVerdict::differs) == "differs");
    CHECK(word(ReplayVerdict::redacted) == "redacted");
    CHECK(word(ReplayVerdict::undecidable) == "cannot be decided");
    CHECK(word(Turn::stays) == "stays");
    ProvisionTurn turn;
    turn.provision = "t.one/a";
    turn.was = turn.now = "stands";
    CHECK(told(turn) == "t.one/a rests on something that was changed");
}

TEST_CASE("receipt: a caution that tells a date of the case goes with that date") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("provisions:\n" + requires_tie_off("a"), "test.pack", "regulation",
                    "{from: 2000-01-01, verified-through: 2005-01-01, picked-by: made-on}")});
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string text =
        ReceiptMaker(shelf)
            .make(facts_of({{"made-on", "2011-12-13"}}), day("2024-06-01"), {}, "lift", options)
            .text;
    REQUIRE(text.find("made-on is 2011-12-13") != std::string::npos);
    CHECK(replay(ReceiptMaker(shelf), read(text)).verdict == ReplayVerdict::identical);
    const std::string left = redact(text, {"made-on"}).text.value();
    CHECK(left.find("2011-12-13") == std::string::npos);
}

TEST_CASE("receipt: a quantity rests on the facts behind its conditions") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("conditions:\n  open: {reads: it is open, is: gate-open}\n"
                    "quantities:\n  room: {kind: length, unit: ft, reads: the room, pieces: "
                    "[{where: open, equals: width}, {equals: 2 ft}]}\n"
                    "provisions:\n" +
                    provision("a", "limit: room, at-most: 30 ft"))});
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string text = ReceiptMaker(shelf)
                                 .make(facts_of({{"width", "17 ft"}, {"gate-open", "yes"}}),
                                       day("2024-06-01"), {}, "lift", options)
                                 .text;
    REQUIRE(text.find("17 ft") != std::string::npos);
    const Json whole = Json::parse(text);
    bool found = false;
    for (const Json& entry : whole["told"]) {
        if (entry["about"] == "value" && entry["name"] == "room") {
            found = true;
            CHECK(entry["on"] == Json({"gate-open", "width"}));
        }
    }
    CHECK(found);
    // Its value tells whether the gate was open.
    CHECK(redact(text, {"gate-open"}).text.value().find("\"value\":\"17 ft\",\"formula\"") ==
          std::string::npos);
}

TEST_CASE("receipt: format 1 names all text that nobody has seen in one caution") {
    const auto from_memory = [](const std::string& id) {
        std::string text = requires_tie_off(id);
        return text.replace(text.find("source: read"), 12, "source: memory");
    };
    const Decision decision = decided(small_shelf(from_memory("a") + from_memory("b")), {});
    const std::vector<std::string> cautions = cautions_in_format_1(decision);
    REQUIRE(cautions.size() == 2);
    CHECK(cautions[0] == "unverified: this rests on text that nobody has compared with the "
                         "source; check Rule a (memory); Rule b (memory)");
    CHECK(cautions[1] == decision.cautions.back());
}

TEST_CASE("receipt: format 1 knows neither facts at odds nor quantities without a value") {
    SourceText words = small_vocabulary();
    words.text += "  share: {kind: ratio, reads: the share, equals: width / height}\n"
                  "at-odds:\n  low: {says: no mast is so low, where: height is exactly 0 ft}\n";
    const Decision decision =
        decided(shelf_of({words, small_pack("provisions:\n" +
                                            requires_tie_off("a", "share is more than 2"))}),
                {{"height", "0 ft"}, {"width", "3 ft"}});
    REQUIRE(decision.cautions.size() == 3);
    CHECK(decision.cautions[0].starts_with("facts at odds: "));
    CHECK(decision.cautions[1].starts_with("no value: "));
    CHECK(cautions_in_format_1(decision) == std::vector<std::string>{decision.cautions.back()});
}

}  // namespace
}  // namespace toprail::test
