// Entry points: wording_changes, told (for a change of wording).
#include "receipt/wording.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

/// A condition as a provision tells it, apart from the figures that it looked at.
struct Sentence {
    std::string text;
    std::string given;
    std::string truth;

    friend bool operator==(const Sentence& a, const Sentence& b) {
        return a.text == b.text && a.truth == b.truth;
    }
};

// "the height is more than 30 ft (height: 31 ft)", taken apart.
Sentence sentence_of(const ToldProvision::Told& reason) {
    const std::size_t bracket = reason.says.rfind(" (");
    if (bracket == std::string::npos || reason.says.back() != ')') {
        return {reason.says, {}, reason.truth};
    }
    return {reason.says.substr(0, bracket),
            reason.says.substr(bracket + 2, reason.says.size() - bracket - 3), reason.truth};
}

std::vector<Sentence> sentences_of(const ToldProvision& provision, bool in_depth) {
    std::vector<Sentence> all;
    for (const ToldProvision::Told& reason : provision.reasons) {
        if (!in_depth || reason.since.empty()) {
            all.push_back(sentence_of(reason));
            continue;
        }
        for (const ToldProvision::Told& each : reason.since) {
            all.push_back(sentence_of(each));
        }
    }
    return all;
}

// What a condition of this text comes down to now; the older receipt does not record it.
std::string in_depth_text(const ToldProvision& provision, const std::string& text) {
    std::string all;
    for (const ToldProvision::Told& reason : provision.reasons) {
        for (const ToldProvision::Told& each : reason.since) {
            if (sentence_of(reason).text == text) {
                all += (all.empty() ? "" : "; ") + sentence_of(each).text;
            }
        }
    }
    return all;
}

// The length of what both begin with, up to the end of a word.
std::size_t common_words(const std::string& a, const std::string& b) {
    const auto [at, other] = std::mismatch(a.begin(), a.end(), b.begin(), b.end());
    if (at == a.end() && other == b.end()) {
        return a.size();
    }
    const std::size_t space = a.rfind(' ', static_cast<std::size_t>(at - a.begin()));
    return space == std::string::npos ? 0 : space + 1;
}

// Takes out of both lists what stands in the other.
void drop_common(std::vector<Sentence>& was, std::vector<Sentence>& now) {
    const auto in = [](const std::vector<Sentence>& list) {
        return [&list](const Sentence& each) {
            return std::find(list.begin(), list.end(), each) != list.end();
        };
    };
    const std::vector<Sentence> before = was;
    std::erase_if(was, in(now));
    std::erase_if(now, in(before));
}

// "the height" of "the height is more than 30 ft"; all of "not: the rails are complete" but "not:
// ".
std::string subject_of(const Sentence& sentence) {
    std::string subject = sentence.text.substr(0, sentence.text.find(" is "));
    return subject.starts_with("not: ") ? subject.substr(5) : subject;
}

// The sentence that was most likely this one: on the same subject or the same figures, and of
// several the one with the longest beginning in common. Null when there is none.
const Sentence* counterpart(const Sentence& one, const std::vector<Sentence>& among) {
    const Sentence* best = nullptr;
    std::size_t most = 0;
    for (const Sentence& each : among) {
        const bool akin =
            subject_of(one) == subject_of(each) || (!one.given.empty() && one.given == each.given);
        const std::size_t common = common_words(one.text, each.text) + 1;
        if (akin && common > most) {
            most = common;
            best = &each;
        }
    }
    return best;
}

WordingChange change_of(const Sentence& was, const Sentence& now, const ToldProvision& today) {
    WordingChange change{"condition", was.text, now.text, now.given};
    if (was.text == now.text) {
        const std::string depth = in_depth_text(today, now.text);
        change.was += ": " + was.truth;
        change.now += ": " + now.truth + (depth.empty() ? "" : ", as " + depth);
    }
    return change;
}

bool fell(const ToldProvision& provision) {
    return provision.status == word(Status::falls);
}

// A fallen provision tells only the conditions that are false. So what has no counterpart there
// need not be new or gone, and is told only where nothing else explains the turn.
void add_conditions(const ToldProvision& was, const ToldProvision& now,
                    std::vector<WordingChange>& changes) {
    const bool in_depth = was.in_depth && now.in_depth;
    std::vector<Sentence> before = sentences_of(was, in_depth);
    std::vector<Sentence> after = sentences_of(now, in_depth);
    drop_common(before, after);
    std::vector<WordingChange> fresh;
    const std::size_t others = changes.size();
    for (const Sentence& each : after) {
        const Sentence* old = counterpart(each, before);
        if (old == nullptr) {
            fresh.push_back({"condition", "", each.text, each.given});
            continue;
        }
        changes.push_back(change_of(*old, each, now));
        before.erase(before.begin() + (old - before.data()));
    }
    if (changes.size() == others || !fell(was)) {
        changes.insert(changes.end(), fresh.begin(), fresh.end());
    }
    if (changes.size() == others || !fell(now)) {
        for (const Sentence& each : before) {
            changes.push_back({"condition", each.text, "", each.given});
        }
    }
}

}  // namespace

std::vector<WordingChange> wording_changes(const ToldProvision& was, const ToldProvision& now) {
    std::vector<WordingChange> changes;
    if (was.effect != now.effect) {
        changes.push_back({"effect", was.effect, now.effect, now.value});
    }
    add_conditions(was, now, changes);
    for (const char* key : {"gist", "cite", "standing", "in-force"}) {
        const std::string before = text_in(*was.step, key);
        const std::string after = text_in(*now.step, key);
        const bool recorded = was.step->contains(key) && now.step->contains(key);
        if (recorded && before != after) {
            changes.push_back({key, before, after, {}});
        }
    }
    return changes;
}

std::string told(const WordingChange& change) {
    std::string text;
    if (change.was.empty()) {
        text = "new: " + change.now;
    } else if (change.now.empty()) {
        text = "gone: " + change.was;
    } else {
        // What both begin with is not said twice, from "is" on where there is one.
        const std::size_t common = common_words(change.was, change.now);
        const std::size_t is = change.now.substr(0, common).rfind(" is ");
        text = change.was + " -> " + change.now.substr(is == std::string::npos ? 0 : is + 1);
    }
    return text + (change.given.empty() ? "" : "; given " + change.given);
}

}  // namespace toprail
