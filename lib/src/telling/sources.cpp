// Entry points: joined, find_step, cites, source_text.
#include "telling/sources.hpp"

#include <algorithm>
#include <set>

namespace toprail {

std::string joined(const std::vector<std::string>& words, std::string_view glue) {
    std::string text;
    for (const std::string& word : words) {
        text += text.empty() ? "" : glue;
        text += word;
    }
    return text;
}

const Step* find_step(const Decision& decision, const std::string& provision) {
    const auto found = std::find_if(decision.trail.begin(), decision.trail.end(),
                                    [&](const Step& each) { return each.provision == provision; });
    return found == decision.trail.end() ? nullptr : &*found;
}

std::string cites(const Decision& decision, const std::vector<std::string>& provisions) {
    std::set<std::string> all;
    for (const std::string& provision : provisions) {
        const Step* found = find_step(decision, provision);
        all.insert(found == nullptr ? provision : found->cite);
    }
    return joined({all.begin(), all.end()}, "; ");
}

std::string source_text(const Step& step) {
    std::string text = step.cite;
    if (!step.also_cite.empty()) {
        text += "; " + joined(step.also_cite, "; ");
    }
    if (!step.adopted_by.empty()) {
        text += "; taken over by " + step.authority + ": " + step.adopted_by;
    }
    return text + " [" + step.standing + ", " + step.source + "]";
}

}  // namespace toprail
