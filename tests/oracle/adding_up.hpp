// Adds up what every filling of a case leads to.
#pragma once

#include "oracle/oracle.hpp"

#include <set>
#include <string>
#include <vector>

namespace oracle {

/// Every way in which the facts may be filled in, counted like the digits of a number.
struct Fillings {
    std::vector<std::string> names;
    std::vector<std::vector<Value>> values;
    std::vector<Outcomes> outcomes;

    /// The facts of which two values, all else equal, lead to different things.
    template <typename Look>
    [[nodiscard]] std::set<std::string> settling(Look look) const {
        std::set<std::string> facts;
        std::size_t stride = 1;
        for (std::size_t fact = 0; fact < names.size(); ++fact) {
            const std::size_t choices = values[fact].size();
            for (std::size_t at = 0; at < outcomes.size(); ++at) {
                const bool last_value = (at / stride) % choices == choices - 1;
                // Neighbouring values are enough: two that differ have a step between them.
                // Fillings without an answer are stepped over.
                if (last_value || outcomes[at].before_first_edition) {
                    continue;
                }
                std::size_t next = at + stride;
                const std::size_t end = at - at % (stride * choices) + stride * choices;
                while (next < end && outcomes[next].before_first_edition) {
                    next += stride;
                }
                if (next < end && look(outcomes[at]) != look(outcomes[next])) {
                    facts.insert(names[fact]);
                    break;
                }
            }
            stride *= choices;
        }
        return facts;
    }
};

/// What the fillings come to together. The answer is no answer where all of them lead before the
/// first edition of an authority.
Answer add_up(const Model& model, const Fillings& fillings);

}  // namespace oracle
