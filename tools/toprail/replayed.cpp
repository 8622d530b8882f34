// Entry points: fate_of, text_of, json_of.
#include "replayed.hpp"

#include "toprail/telling.hpp"

#include <nlohmann/json.hpp>

namespace toprail::command {
namespace {

using Json = nlohmann::ordered_json;

// Receipts come from anywhere: what they say is told a line at a time. A provision then and now; a
// text that stayed the same is told once.
std::string text_of(const ProvisionTurn& turn) {
    std::string text = "    by " + tell_line(told(turn)) + "\n";
    for (const WordingChange& change : turn.changes) {
        text += "      " + tell_line("changed " + change.about + ": " + told(change)) + "\n";
    }
    if (turn.was == turn.now) {
        return text + "      then and now: " + tell_line(turn.now) + "\n";
    }
    const std::string absent = "not weighed: " + turn.absent;
    return text + "      then: " + tell_line(turn.was.empty() ? absent : turn.was) +
           "\n      now: " + tell_line(turn.now.empty() ? absent : turn.now) + "\n";
}

std::string text_of(const Replayed& seen, std::size_t most) {
    std::string text;
    for (const std::string& cause : seen.causes) {
        text += "  because: " + tell_line(cause) + "\n";
    }
    for (const Finding& finding : seen.findings) {
        text += "  " + tell_line(finding.message) + "\n";
    }
    std::size_t shown = 0;
    for (const Difference& each : seen.differences) {
        if (shown++ == most) {
            text += "  and " + std::to_string(seen.differences.size() - most) +
                    " further differences; --most shows more\n";
            break;
        }
        text += "  " + tell_line(each.about + " " + each.name) +
                "\n    was: " + tell_line(each.was) + "\n    now: " + tell_line(each.now) + "\n";
        for (const ProvisionTurn& turn : each.by) {
            text += text_of(turn);
        }
    }
    return text;
}

Json json_of(const Difference& difference) {
    Json by = Json::array();
    for (const ProvisionTurn& turn : difference.by) {
        Json changes = Json::array();
        for (const WordingChange& change : turn.changes) {
            changes.push_back({{"about", change.about},
                               {"was", change.was},
                               {"now", change.now},
                               {"given", change.given}});
        }
        by.push_back({{"provision", turn.provision},
                      {"cite", turn.cite},
                      {"turn", word(turn.turn)},
                      {"changed", turn.changed},
                      {"was", turn.was},
                      {"now", turn.now},
                      {"changes", std::move(changes)},
                      {"absent", turn.absent}});
    }
    return {{"about", difference.about},
            {"name", difference.name},
            {"was", difference.was},
            {"now", difference.now},
            {"by", std::move(by)}};
}

// Names of files may be any bytes, and a receipt may hold characters that a screen does not show:
// all but ASCII is escaped.
std::string line_of(const Json& object) {
    return object.dump(-1, ' ', true, Json::error_handler_t::replace) + "\n";
}

std::string_view word(Fate fate, const Replayed& seen) {
    switch (fate) {
    case Fate::altered:
        return "altered";
    case Fate::unreadable:
        return "unreadable";
    case Fate::not_vouched_for:
        return "not signed by a key that counts";
    case Fate::same:
    case Fate::other_grounds:
    case Fate::differs:
    case Fate::redacted:
        break;
    }
    return toprail::word(seen.verdict);
}

}  // namespace

Fate fate_of(const ReadReceipt& read, bool vouched, const Replayed& seen) {
    if (!read.receipt) {
        // An altered receipt is an answer: this is not what was recorded.
        return read.trouble == ReceiptTrouble::altered ? Fate::altered : Fate::unreadable;
    }
    if (!vouched) {
        return Fate::not_vouched_for;
    }
    switch (seen.verdict) {
    case ReplayVerdict::identical:
        return Fate::same;
    case ReplayVerdict::other_grounds:
        return Fate::other_grounds;
    case ReplayVerdict::redacted:
        return Fate::redacted;
    case ReplayVerdict::differs:
    case ReplayVerdict::undecidable:
        break;
    }
    return Fate::differs;
}

void ReplayCount::add(Fate fate) {
    receipts += fate == Fate::altered ? 0U : 1U;
    same += fate == Fate::same ? 1U : 0U;
    other_grounds += fate == Fate::other_grounds ? 1U : 0U;
    redacted += fate == Fate::redacted ? 1U : 0U;
    differ += fate == Fate::differs ? 1U : 0U;
    not_vouched_for += fate == Fate::not_vouched_for ? 1U : 0U;
    altered += fate == Fate::altered ? 1U : 0U;
    unreadable += fate == Fate::unreadable ? 1U : 0U;
}

std::string text_of(const Told& told, std::size_t most) {
    if (told.fate == Fate::same) {
        return {};
    }
    const std::string verdict(word(told.fate, told.seen));
    if (!told.read.receipt) {
        return told.where + ": " + verdict + ": " + told.read.message + "\n";
    }
    const Receipt& receipt = *told.read.receipt;
    return told.where + ", " + tell_line(receipt.case_name) + " on " + receipt.on.text() + ": " +
           verdict + "\n" + text_of(told.seen, most);
}

std::string text_of(const std::string& log, const LogCheck& seen) {
    std::string text;
    for (const LogTrouble& trouble : seen.troubles) {
        text += log + ":" + std::to_string(trouble.line) + ": " + tell_line(trouble.message) + "\n";
    }
    if (seen.torn_bytes != 0) {
        text += log + ": the last " + std::to_string(seen.torn_bytes) +
                " bytes are an entry that was never finished, or was cut off\n";
    }
    return text + log + ": " + std::to_string(seen.entries) +
           (seen.troubles.empty() ? " entries" : " entries with the right digest") +
           "; the last is number " + std::to_string(seen.number) + ", digest " + seen.head + "\n";
}

std::string text_of(const ReplayCount& count, bool to_the_byte) {
    const auto number = [](std::uint64_t n) { return std::to_string(n); };
    std::string text;
    if (count.altered != 0) {
        text += number(count.altered) + " ALTERED; ";
    }
    if (count.out_of_place != 0) {
        text += number(count.out_of_place) + " OUT OF PLACE in the log; ";
    }
    text += number(count.receipts) + (count.altered == 0 ? "" : " other") +
            (count.receipts == 1 ? " receipt: " : " receipts: ") + number(count.same) +
            (to_the_byte ? " identical" : " with the same conclusions on the same grounds");
    if (count.other_grounds != 0) {
        text += ", " + number(count.other_grounds) + " with the same conclusions on other grounds";
    }
    if (count.differ != 0) {
        text += ", " + number(count.differ) + (count.differ == 1 ? " differs" : " differ");
    }
    if (count.not_vouched_for != 0) {
        text += ", " + number(count.not_vouched_for) + " not signed by a key that counts";
    }
    if (count.unreadable != 0) {
        text += ", " + number(count.unreadable) + " unreadable";
    }
    if (count.redacted != 0) {
        text += ", " + number(count.redacted) +
                " redacted: intact, but without the removed facts not to be decided again";
    }
    return text + "\n";
}

std::string json_of(const Told& told) {
    Json object = {{"receipt", told.where}, {"verdict", word(told.fate, told.seen)}};
    if (!told.read.receipt) {
        object["message"] = told.read.message;
        return line_of(object);
    }
    const Receipt& receipt = *told.read.receipt;
    object["case"] = receipt.case_name;
    object["on"] = receipt.on.text();
    object["digest"] = receipt.digest;
    object["causes"] = told.seen.causes;
    object["findings"] = Json::array();
    for (const Finding& finding : told.seen.findings) {
        object["findings"].push_back(finding.message);
    }
    object["differences"] = Json::array();
    for (const Difference& each : told.seen.differences) {
        object["differences"].push_back(json_of(each));
    }
    return line_of(object);
}

std::string json_of(const std::string& log, const LogCheck& seen) {
    Json troubles = Json::array();
    for (const LogTrouble& trouble : seen.troubles) {
        troubles.push_back({{"line", trouble.line}, {"message", trouble.message}});
    }
    return line_of({{"log", log},
                    {"entries", seen.entries},
                    {"number", seen.number},
                    {"digest", seen.head},
                    {"torn-bytes", seen.torn_bytes},
                    {"altered", seen.altered},
                    {"out-of-place", seen.out_of_place},
                    {"troubles", std::move(troubles)}});
}

std::string json_of(const ReplayCount& count) {
    return line_of({{"summary",
                     {{"altered", count.altered},
                      {"out-of-place", count.out_of_place},
                      {"receipts", count.receipts},
                      {"same", count.same},
                      {"other-grounds", count.other_grounds},
                      {"redacted", count.redacted},
                      {"differ", count.differ},
                      {"not-vouched-for", count.not_vouched_for},
                      {"unreadable", count.unreadable}}}});
}

}  // namespace toprail::command
