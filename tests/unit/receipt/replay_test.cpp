// Replay: identical receipts, and the cause and place of every difference.
#include "receipt_support.hpp"
#include "support/small_shelf.hpp"
#include "toprail/redaction.hpp"
#include "toprail/replay.hpp"

#include <nlohmann/json.hpp>

#include <utility>

namespace toprail::test {
namespace {

Receipt read(const std::string& text) {
    const ReadReceipt result = read_receipt(text);
    INFO(result.message);
    REQUIRE(result.receipt);
    return *result.receipt;
}

bool mentions(const std::vector<std::string>& texts, const std::string& piece) {
    return std::any_of(texts.begin(), texts.end(), [&](const std::string& text) {
        return text.find(piece) != std::string::npos;
    });
}

const Difference* find(const Replayed& seen, const std::string& about, const std::string& name) {
    for (const Difference& each : seen.differences) {
        if (each.about == about && each.name == name) {
            return &each;
        }
    }
    return nullptr;
}

/// A receipt of this engine in which a text was replaced before it was sealed, as a forger would.
std::string forged(const std::string& piece, const std::string& by) {
    std::string text = lift_receipt().text;
    const std::size_t at = text.find(piece);
    REQUIRE(at != std::string::npos);
    text.replace(at, piece.size(), by);
    return reseal(text);
}

TEST_CASE("replay: the same packs give the same bytes") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const ReceiptMaker maker(yard());
    for (const std::string& text :
         {lift_receipt().text, receipt_with(yard(), lift_facts(), options).text}) {
        const Replayed seen = replay(maker, read(text));
        CHECK(seen.verdict == ReplayVerdict::identical);
        CHECK(seen.differences.empty());
        CHECK(seen.causes.empty());
    }
}

TEST_CASE("replay: a receipt that asks for more search than is allowed is not decided again") {
    const ReceiptMaker maker(yard());
    const Receipt dear = read(forged("\"budget\":200000", "\"budget\":18446744073709551615"));
    for (const Replayed& seen : {replay(maker, dear), replay_against(maker, dear)}) {
        CHECK(seen.verdict == ReplayVerdict::undecidable);
        CHECK(mentions(seen.causes, "a search of 18446744073709551615 diagram nodes"));
        CHECK(mentions(seen.causes, "allows 2000000"));
        CHECK(seen.differences.empty());
    }
    const Receipt usual = read(lift_receipt().text);
    CHECK(replay(maker, usual, {usual.options.budget}).verdict == ReplayVerdict::identical);
    CHECK(replay(maker, usual, {usual.options.budget - 1}).verdict == ReplayVerdict::undecidable);
}

TEST_CASE("replay: a remark in a pack changes its bytes and nothing else") {
    const Shelf other = yard_with(2, "title: Rules", "# seen\ntitle: Rules");
    const Replayed seen = replay(ReceiptMaker(other), read(lift_receipt().text));
    CHECK(seen.verdict == ReplayVerdict::differs);
    CHECK(mentions(seen.causes, "yard.rules, edition 2020-01-01, has other bytes"));
    REQUIRE(seen.differences.size() == 1);
    CHECK(seen.differences[0].about == "record");
    CHECK(replay_against(ReceiptMaker(other), read(lift_receipt().text)).verdict ==
          ReplayVerdict::identical);
}

TEST_CASE("replay: a changed condition is named by its step, with the pack as cause") {
    const Shelf other = yard_with(2, "at least 4 ft", "at least 20 ft");
    const Replayed seen = replay(ReceiptMaker(other), read(lift_receipt().text));
    CHECK(seen.verdict == ReplayVerdict::differs);
    CHECK(mentions(seen.causes, "yard.rules"));
    const Difference* step = find(seen, "step", "yard.rules/open-rails");
    REQUIRE(step != nullptr);
    CHECK(step->was == "open");
    CHECK(step->now == "falls");
}

TEST_CASE("replay: other bytes of an adopted pack and of a vocabulary are causes too") {
    const Receipt receipt = read(lift_receipt().text);
    CHECK(mentions(
        replay(ReceiptMaker(yard_with(1, "more than 30 ft", "more than 10 ft")), receipt).causes,
        "yard.base"));
    CHECK(mentions(replay(ReceiptMaker(yard_with(0, "How high?", "How far up?")), receipt).causes,
                   "vocabulary yard"));
}

TEST_CASE("replay: another edition is a cause") {
    std::vector<SourceText> texts = yard_texts();
    std::string newer = yard_pack;
    newer.replace(newer.find("2020-01-01"), 10, "2023-01-01");
    texts.push_back({"newer.yaml", newer});
    const Replayed seen = replay(ReceiptMaker(shelf_of(texts)), read(lift_receipt().text));
    CHECK(seen.verdict == ReplayVerdict::differs);
    CHECK(mentions(seen.causes, "yard.rules, edition 2020-01-01, is not used now"));
    CHECK(mentions(seen.causes, "yard.rules, edition 2023-01-01, is used now"));
}

TEST_CASE("replay: a resealed forgery is told apart from a change of the packs") {
    const Replayed seen =
        replay(ReceiptMaker(yard()),
               read(forged("\"outcome\":\"undetermined\"", "\"outcome\":\"not required\"")));
    CHECK(seen.verdict == ReplayVerdict::differs);
    CHECK(mentions(seen.causes, "does not record what they decide"));
    const Difference* duty = find(seen, "duty", "tie-off");
    REQUIRE(duty != nullptr);
    CHECK(duty->was == "not required");
}

TEST_CASE("replay: another engine is told and does no harm by itself") {
    const Replayed seen =
        replay(ReceiptMaker(yard()),
               read(forged("\"engine\":\"" + std::string(engine_version()), "\"engine\":\"0.0.1")));
    CHECK(seen.verdict == ReplayVerdict::identical);
    CHECK(mentions(seen.causes, "made by version 0.0.1"));
}

TEST_CASE("replay: facts that the packs no longer know cannot be decided") {
    std::vector<SourceText> texts = yard_texts();
    const std::string served =
        "  served: {type: date, may-not-apply: yes, reads: the first day of service, ask: \"Since "
        "when?\", why: w}\n";
    texts[0].text.erase(texts[0].text.find(served), served.size());
    const Replayed seen = replay(ReceiptMaker(shelf_of(texts)), read(lift_receipt().text));
    CHECK(seen.verdict == ReplayVerdict::undecidable);
    CHECK(has_error(seen.findings));
}

TEST_CASE("replay against other packs lists what comes out differently and by which provision") {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    const Receipt receipt = read(receipt_with(yard(), facts).text);
    const Shelf other = yard_with(1, "height is more than 30 ft", "height is more than 10 ft");
    const Replayed seen = replay_against(ReceiptMaker(other), receipt);
    CHECK(seen.verdict == ReplayVerdict::differs);
    REQUIRE(seen.differences.size() == 1);
    CHECK(seen.differences[0].name == "spotter");
    CHECK(seen.differences[0].was == "not addressed");
    CHECK(seen.differences[0].now == "required");
    REQUIRE(seen.differences[0].by.size() == 1);
    const ProvisionTurn& by = seen.differences[0].by.front();
    CHECK(told(by) == "yard.rules/watch (Base 2) was changed and newly stands");
    CHECK(by.was ==
          "falls: spotter: required; the height is more than 30 ft (height: 14.50 ft) [false]; "
          "Somebody watches.");
    CHECK(by.now ==
          "stands: spotter: required; the height is more than 10 ft (height: 14.50 ft) [true]; "
          "Somebody watches.");
}

/// What turned behind tie-off when a piece of the yard's pack is replaced; the rails are complete.
std::vector<ProvisionTurn> turned(std::size_t file, const std::string& piece,
                                  const std::string& by) {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    const Receipt receipt = read(receipt_with(yard(), facts).text);
    const Replayed seen = replay_against(ReceiptMaker(yard_with(file, piece, by)), receipt);
    const Difference* duty = find(seen, "duty", "tie-off");
    REQUIRE(duty != nullptr);
    return duty->by;
}

TEST_CASE("replay against other packs: the changed condition is told with its figures") {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    const Receipt receipt = read(receipt_with(yard(), facts).text);
    const Shelf other = yard_with(1, "height is more than 30 ft", "height is more than 10 ft");
    const Replayed seen = replay_against(ReceiptMaker(other), receipt);
    const std::vector<WordingChange> changes = seen.differences.at(0).by.at(0).changes;
    REQUIRE(changes.size() == 1);
    CHECK(changes[0].about == "condition");
    CHECK(changes[0].was == "the height is more than 30 ft");
    CHECK(changes[0].now == "the height is more than 10 ft");
    CHECK(changes[0].given == "height: 14.50 ft");
    CHECK(told(changes[0]) ==
          "the height is more than 30 ft -> is more than 10 ft; given height: 14.50 ft");
}

/// The yard with a named condition between the height and the provision on a spotter.
Shelf yard_with_high(const std::string& threshold) {
    std::vector<SourceText> texts = yard_texts();
    std::string& text = texts[1].text;
    const std::string sentence = "height is more than 30 ft";
    text.replace(text.find(sentence), sentence.size(), "high");
    text.insert(text.find("provisions:"), "conditions:\n  high: {reads: it is high up, is: height "
                                          "is more than " +
                                              threshold + "}\n");
    return shelf_of(std::move(texts));
}

TEST_CASE("replay against other packs: a figure inside a named condition is told as well") {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    const std::string made = receipt_with(yard_with_high("30 ft"), facts).text;
    const Replayed seen = replay_against(ReceiptMaker(yard_with_high("10 ft")), read(made));
    const ProvisionTurn& by = seen.differences.at(0).by.at(0);
    CHECK_FALSE(by.changed);
    CHECK(by.was.find("it is high up (height: 14.50 ft) [false]") != std::string::npos);
    REQUIRE(by.changes.size() == 1);
    CHECK(told(by.changes[0]) ==
          "the height is more than 30 ft -> is more than 10 ft; given height: 14.50 ft");
    // An older receipt does not record the figure then; that of now is told.
    Json older = Json::parse(made);
    older["receipt"] = 1;
    for (Json& entry : older["told"]) {
        entry["tells"].erase("since");
    }
    const Replayed old =
        replay_against(ReceiptMaker(yard_with_high("10 ft")), read(reseal(older.dump())));
    CHECK(told(old.differences.at(0).by.at(0).changes.at(0)) ==
          "it is high up: false -> is high up: true, as the height is more than 10 ft; given "
          "height: 14.50 ft");
}

TEST_CASE("replay against other packs: a limit's other figure is told with the value given") {
    Facts facts = lift_facts();
    facts.set("rails", "yes").set("line", "20 ft");
    const Receipt receipt = read(receipt_with(yard(), facts).text);
    const Replayed seen =
        replay_against(ReceiptMaker(yard_with(1, "at-most: height", "at-most: 6 ft")), receipt);
    const Difference* limit = find(seen, "limit", "line");
    REQUIRE(limit != nullptr);
    REQUIRE(limit->by.at(0).changes.size() == 1);
    CHECK(told(limit->by[0].changes[0]) ==
          "line: at most height (14.50 ft) -> line: at most 6 ft; given 20 ft");
}

TEST_CASE("replay: a provision that is weighed no more says why, in words") {
    const Receipt receipt = read(receipt_with(yard(), lift_facts()).text);
    const std::string low(yard_pack);
    const Replayed gone =
        replay(ReceiptMaker(yard_with(2, low.substr(low.find("  - id: low")), "")), receipt);
    CHECK(find(gone, "step", "yard.rules/low")->now ==
          "not weighed: the rulepack yard.rules holds no provision of that name now");
    const Receipt both =
        read(ReceiptMaker(yard()).make(lift_facts(), day("2024-06-01"), {}, "lift").text);
    std::vector<SourceText> texts = yard_texts();
    texts.pop_back();
    const ReceiptMaker without(shelf_of(std::move(texts)));
    CHECK(find(replay(without, both), "step", "yard.rules/low")->now ==
          "not weighed: the rulepack yard.rules is not on the shelf");
    const Replayed against = replay_against(without, both);
    const Difference* duty = find(against, "duty", "tie-off");
    REQUIRE(duty != nullptr);
    CHECK(duty->by.at(0).absent == "the rulepack yard.rules is not on the shelf");
    for (const Replayed& seen : {gone, against}) {
        for (const Difference& each : seen.differences) {
            CHECK_FALSE(each.was.empty());
            CHECK_FALSE(each.now.empty());
        }
    }
}

TEST_CASE("replay against other packs: a provision that now imposes the duty is told as changed") {
    const auto by = turned(2, "calls-for: not required", "calls-for: required");
    REQUIRE(by.size() == 1);
    CHECK(told(by[0]) == "yard.rules/low (Yard 2) was changed");
    CHECK(by[0].turn == Turn::stays);
    CHECK(by[0].was.starts_with("stands: tie-off: not required; the rails are complete"));
    CHECK(by[0].now.starts_with("stands: tie-off: required; the rails are complete"));
}

TEST_CASE("replay against other packs: new, missing and renamed provisions are told") {
    const auto fresh = turned(2, "provisions:\n", R"(provisions:
  - id: always
    cite: Yard 9
    source: read
    gist: Everybody is tied off.
    duty: tie-off
    calls-for: required
)");
    REQUIRE(fresh.size() == 1);
    CHECK(told(fresh[0]) == "yard.rules/always (Yard 9) is new and newly stands");
    CHECK(fresh[0].was.empty());
    const std::string low(yard_pack);
    const auto gone = turned(2, low.substr(low.find("  - id: low")), "");
    REQUIRE(gone.size() == 1);
    CHECK(told(gone[0]) == "yard.rules/low (Yard 2) is not weighed any more: it fell away");
    CHECK(gone[0].now.empty());
}

TEST_CASE("replay against other packs: whatever differs is put down to a provision") {
    const std::pair<const char*, const char*> edits[] = {
        {"calls-for: not required", "calls-for: required"},
        {"all-of: [rails]", "all-of: [not rails]"},
        {"all-of: [rails]", "all-of: [rails, machine is boom]"},
        {"- not rails", "- rails"},
        {"duty: tie-off\n    calls-for: not", "duty: spotter\n    calls-for: not"},
    };
    for (const auto& [piece, by] : edits) {
        const std::string name = piece;
        CAPTURE(name);
        CHECK_FALSE(turned(2, piece, by).empty());
    }
}

TEST_CASE("replay against other packs: the same conclusion on other grounds is not identical") {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    const Receipt receipt = read(receipt_with(yard(), facts).text);
    // The provision that lets people off falls, and another with the same effect stands.
    const Shelf other = yard_with(2, "  - id: low", R"(  - id: short
    cite: Yard 7
    source: read
    gist: Not where the rails are complete.
    where: rails
    duty: tie-off
    calls-for: not required
  - id: low)");
    const Replayed seen = replay_against(ReceiptMaker(other), receipt);
    CHECK(seen.verdict == ReplayVerdict::other_grounds);
    CHECK(word(seen.verdict) == "same conclusions on other grounds");
    REQUIRE(seen.differences.size() == 1);
    const Difference& grounds = seen.differences.front();
    CHECK(grounds.about == "grounds");
    CHECK(grounds.name == "tie-off");
    CHECK(grounds.was == "not required, by yard.rules/low");
    CHECK(grounds.now == "not required, by yard.rules/low, yard.rules/short");
    REQUIRE(grounds.by.size() == 1);
    CHECK(told(grounds.by[0]) == "yard.rules/short (Yard 7) is new and newly stands");
    CHECK(grounds.by[0].absent == "the rulepack yard.rules held no provision of that name then");
}

TEST_CASE("replay against other packs: another text of a ground is told") {
    Facts facts = lift_facts();
    facts.set("rails", "yes");
    const Receipt receipt = read(receipt_with(yard(), facts).text);
    const Shelf other = yard_with(2, "cite: Yard 2", "cite: Yard 22");
    const Replayed seen = replay_against(ReceiptMaker(other), receipt);
    CHECK(seen.verdict == ReplayVerdict::other_grounds);
    REQUIRE(seen.differences.size() == 1);
    REQUIRE(seen.differences[0].by.size() == 1);
    CHECK(told(seen.differences[0].by[0]) == "yard.rules/low (Yard 22) was changed");
    REQUIRE(seen.differences[0].by[0].changes.size() == 1);
    CHECK(told(seen.differences[0].by[0].changes[0]) == "Yard 2 -> Yard 22");
}

TEST_CASE("a receipt records site and description, and replays with them") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    options.site = "North yard";
    options.says = "14.50 ft up, by tape measure.";
    const std::string text = receipt_with(yard(), lift_facts(), options).text;
    const Receipt receipt = read(text);
    CHECK(receipt.site == "North yard");
    CHECK(receipt.says == options.says);
    CHECK(replay(ReceiptMaker(yard()), receipt).verdict == ReplayVerdict::identical);
    CHECK(replay_against(ReceiptMaker(yard()), receipt).verdict == ReplayVerdict::identical);
    // A description may repeat what is to be removed.
    const Receipt left = read(redact(text, {"machine"}).text.value());
    CHECK(left.site == "North yard");
    CHECK(left.says.empty());
    CHECK(left.digest == receipt.digest);
    ReceiptOptions wrong;
    wrong.site = "North\xff yard";
    const MadeReceipt made =
        ReceiptMaker(yard()).make(lift_facts(), day("2022-06-01"), {}, "lift", wrong);
    CHECK(made.text.empty());
    CHECK(has_error(made.findings));
}

TEST_CASE("redaction: the value is gone everywhere and the rest verifies") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string whole = receipt_with(yard(), lift_facts(), options).text;
    const std::string both = sign_receipt(whole, new_key_pair().secret_key).value();
    CHECK(whole.find("14.50 ft") != std::string::npos);
    const Redaction redacted = redact(both, {"height"});
    INFO(redacted.message);
    REQUIRE(redacted.text);
    for (const char* piece : {"14.50 ft", "tape measure", "\"seed\""}) {
        CHECK(redacted.text->find(piece) == std::string::npos);
    }
    const Receipt left = read(*redacted.text);
    CHECK(left.redacted == std::vector<std::string>{"height"});
    CHECK(left.digest == read(whole).digest);
    CHECK(left.signatures.size() == 1);
    CHECK(left.facts.find("machine")->text == "scissor");
    CHECK(replay(ReceiptMaker(yard()), left).verdict == ReplayVerdict::redacted);
}

TEST_CASE("redaction: a second fact can follow, and the order does not matter") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string whole = receipt_with(yard(), lift_facts(), options).text;
    const std::string one = redact(*redact(whole, {"height"}).text, {"machine"}).text.value();
    CHECK(one == redact(*redact(whole, {"machine"}).text, {"height"}).text.value());
    CHECK(one == redact(whole, {"machine", "height"}).text.value());
    CHECK(read(one).redacted.size() == 2);
}

TEST_CASE("redaction: every single-byte change to what is left is noticed") {
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string text =
        redact(receipt_with(yard(), lift_facts(), options).text, {"height"}).text.value();
    std::size_t unnoticed = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        std::string altered = text;
        altered[i] = static_cast<char>(altered[i] ^ (1 << (i % 7)));
        unnoticed += read_receipt(altered).receipt ? 1U : 0U;
    }
    CHECK(unnoticed == 0);
}

TEST_CASE("redaction: what cannot be done is refused with its reason") {
    CHECK_FALSE(redact("{", {"height"}).text);
    CHECK(redact(lift_receipt().text, {"height"}).message.find("without a seed") !=
          std::string::npos);
    ReceiptOptions options;
    options.seed = fixed_seed();
    const std::string whole = receipt_with(yard(), lift_facts(), options).text;
    CHECK(redact(whole, {"colour"}).message.find("colour") != std::string::npos);
}

TEST_CASE("replay: a caution that is told no longer is a difference, though no conclusion is") {
    const auto words = [](const std::string& pairs) {
        SourceText text = small_vocabulary();
        text.text += pairs;
        return text;
    };
    const SourceText pack = small_pack("provisions:\n" + requires_tie_off("a", "gate-open"));
    const std::string roofed =
        "at-odds:\n  roofed: {says: a boom has no roof, where: {all-of: [roofed, mechanism is "
        "boom]}}\n";
    const ReceiptMaker with(shelf_of({words(roofed), pack}));
    const ReceiptMaker without(shelf_of({words(""), pack}));
    const Facts facts = facts_of({{"mechanism", "boom"}, {"roofed", "yes"}, {"gate-open", "yes"}});
    const std::string caution = "facts at odds: a boom has no roof (mechanism: boom, roofed: yes); "
                                "find out which is so before anybody relies on this answer";
    const Receipt warned = read(with.make(facts, day("2024-06-01")).text);
    const Receipt unwarned = read(without.make(facts, day("2024-06-01")).text);
    for (const Replayed& seen : {replay(without, warned), replay_against(without, warned)}) {
        const Difference* gone = find(seen, "caution", "of the answer");
        REQUIRE(gone != nullptr);
        CHECK(gone->was == caution);
        CHECK(gone->now == "not told");
    }
    CHECK(replay(without, warned).verdict == ReplayVerdict::differs);
    CHECK(replay_against(without, warned).verdict == ReplayVerdict::other_grounds);
    const Replayed came = replay_against(with, unwarned);
    REQUIRE(find(came, "caution", "of the answer") != nullptr);
    CHECK(find(came, "caution", "of the answer")->now == caution);
    CHECK(replay_against(with, warned).verdict == ReplayVerdict::identical);
}

TEST_CASE("receipt: one that would name facts millions of times is not made") {
    constexpr int count = 2'100;
    std::string facts;
    std::string quantities;
    Facts given;
    for (int i = 0; i < count; ++i) {
        const std::string number = std::to_string(i);
        facts += "  f" + number + ": {type: count, reads: r, ask: a, why: w}\n";
        quantities += "  q" + number + ": {kind: ratio, reads: r, equals: f" + number +
                      (i == 0 ? "" : " + q" + std::to_string(i - 1)) + "}\n";
        given.set("f" + number, "1");
    }
    SourceText words = small_vocabulary();
    words.text.insert(words.text.find("choices:"), facts);
    const std::string rule = "provisions:\n" + requires_tie_off("a", "q2099 is more than 3");
    const Shelf large = shelf_of({words, small_pack("quantities:\n" + quantities + rule)});
    const MadeReceipt made = ReceiptMaker(large).make(given, day("2024-06-01"));
    CHECK(made.text.empty());
    CHECK_FALSE(made.decision);
    REQUIRE(made.findings.size() == 1);
    CHECK(made.findings[0].code == "too-large");
    CHECK(large.decide(given, day("2024-06-01")).decision.has_value());

    const Shelf plain =
        shelf_of({words, small_pack("provisions:\n" + requires_tie_off("a", "f0 is more than 3"))});
    const Receipt receipt = read(ReceiptMaker(plain).make(given, day("2024-06-01")).text);
    const Replayed seen = replay_against(ReceiptMaker(large), receipt);
    CHECK(seen.verdict == ReplayVerdict::undecidable);
    CHECK(mentions(seen.causes, "would give a receipt that is too large"));
}

TEST_CASE("redaction: what chooses the piece of a quantity goes with it, and so do dates") {
    const Shelf shelf = shelf_of(
        {small_vocabulary(),
         small_pack("quantities:\n  score:\n    kind: ratio\n    reads: the score\n    pieces: "
                    "[{where: roofed, equals: 7}, {equals: 3}]\nprovisions:\n" +
                    requires_tie_off("a", "score is more than 1")),
         small_pack("provisions:\n" + requires_tie_off("b", "gate-open") +
                        provision("self", "governs: test.late"),
                    "test.late", "regulation",
                    "{from: 2000-01-01, until: 2010-01-01, verified-through: 2030-01-01, "
                    "picked-by: made-on}"),
         small_pack("provisions:\n" + provision("all", "governs: test.pack"), "test.law",
                    "guidance")});
    ReceiptOptions options;
    options.seed = fixed_seed();
    const MadeReceipt made =
        ReceiptMaker(shelf).make(facts_of({{"roofed", "yes"}, {"made-on", "2013-07-09"}}),
                                 day("2024-06-01"), {}, "c", options);
    REQUIRE(made.text.find("(score: 7)") != std::string::npos);
    REQUIRE(made.text.find("counts on 2013-07-09") != std::string::npos);
    CHECK(redact(made.text, {"roofed"}).text.value().find("score: 7") == std::string::npos);
    CHECK(redact(made.text, {"made-on"}).text.value().find("2013-07-09") == std::string::npos);
}

TEST_CASE("redaction: seeds of two receipts give different commitments for equal facts") {
    ReceiptOptions one;
    one.seed = fixed_seed();
    ReceiptOptions two;
    two.seed = random_seed();
    const auto held = [](const std::string& text) {
        return nlohmann::json::parse(*redact(text, {"height"}).text)["told"][0]["held"];
    };
    CHECK(held(receipt_with(yard(), lift_facts(), one).text) !=
          held(receipt_with(yard(), lift_facts(), two).text));
}

}  // namespace
}  // namespace toprail::test
