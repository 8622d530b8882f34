// Entry point: help_with_unknown.
#include "findings/unknown.hpp"

#include "findings/collector.hpp"

#include <algorithm>
#include <map>
#include <string_view>

namespace toprail {
namespace {

constexpr std::size_t most_listed = 12;

std::size_t last_of(std::string_view name, char c) {
    const std::size_t at = name.rfind(c);
    return at == std::string_view::npos ? 0 : at + 1;
}

// Those that begin like the name, up to one of its dots: us.state.* for us.state.guam.
std::vector<std::string> in_the_same_place(std::string_view name,
                                           const std::vector<std::string>& known) {
    for (std::size_t end = last_of(name, '.'); end > 0;
         end = last_of(name.substr(0, end - 1), '.')) {
        std::vector<std::string> found;
        for (const std::string& each : known) {
            if (each.starts_with(name.substr(0, end))) {
                found.push_back(each);
            }
        }
        if (!found.empty()) {
            return found;
        }
    }
    return {};
}

// Those that have a word in common with it: platform-height for height-of-platform.
std::vector<std::string> with_a_word_of(const std::string& name,
                                        const std::vector<std::string>& known) {
    constexpr std::size_t shortest_word = 4;  // "of", "is" and the like stand in too many
    const auto bounded = [](const std::string& text) { return "-" + text + "-"; };
    std::vector<std::string> found;
    for (const std::string& each : known) {
        std::size_t start = 0;
        while (start < name.size()) {
            const std::size_t end = std::min(name.find('-', start), name.size());
            const std::string word = name.substr(start, end - start);
            if (word.size() >= shortest_word &&
                bounded(each).find(bounded(word)) != std::string::npos) {
                found.push_back(each);
                break;
            }
            start = end + 1;
        }
    }
    return found;
}

// How many there are of each beginning: "16 in us.federal, 41 in us.state".
std::string counted_by_place(const std::vector<std::string>& known) {
    std::map<std::string, std::size_t> places;
    for (const std::string& each : known) {
        if (const std::size_t end = last_of(each, '.'); end > 0) {
            ++places[each.substr(0, end - 1)];
        }
    }
    std::string text;
    for (const auto& [place, count] : places) {
        text += (text.empty() ? "" : ", ") + std::to_string(count) + " in " + place;
    }
    return places.size() > most_listed ? "" : text;
}

}  // namespace

std::string help_with_unknown(const std::string& name, std::vector<std::string> known) {
    std::sort(known.begin(), known.end());
    known.erase(std::unique(known.begin(), known.end()), known.end());
    const std::string near = nearest(name, known);
    if (!near.empty()) {
        return "did you mean " + near + "?";
    }
    if (known.empty()) {
        return "";
    }
    if (known.size() <= most_listed) {
        return "known are " + list_or(known);
    }
    for (const auto& akin : {in_the_same_place(name, known), with_a_word_of(name, known)}) {
        if (!akin.empty() && akin.size() <= most_listed) {
            return "akin are " + list_or(akin);
        }
    }
    const std::string counted = counted_by_place(known);
    return counted.empty() ? "" : "known are " + counted + "; toprail outline lists them";
}

}  // namespace toprail
