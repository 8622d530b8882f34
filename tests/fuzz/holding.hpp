// What the fuzz targets share: a check that ends the run, and what must hold of every answer.
#pragma once

#include "findings/text.hpp"
#include "support/screen.hpp"
#include "toprail/shelf.hpp"
#include "toprail/telling.hpp"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace toprail::fuzz {

/// Ends the run, so that the fuzzer keeps the input.
inline void hold(bool holds, std::string_view what) {
    if (!holds) {
        std::fprintf(stderr, "does not hold: %.*s\n", static_cast<int>(what.size()), what.data());
        std::abort();
    }
}

inline void hold_nothing(const std::string& trouble) {
    hold(trouble.empty(), trouble);
}

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
    return {reinterpret_cast<const char*>(data), size};
}

/// Small enough that one input takes milliseconds; the limits themselves have tests of their own.
inline Limits small_limits() {
    Limits limits;
    limits.bytes = 1U << 16U;
    limits.nodes = 4000;
    limits.findings = 20;
    return limits;
}

/// Diagram nodes for one decision, as few for the same reason.
inline constexpr std::size_t small_budget = 2000;

inline void hold_findings(const std::vector<Finding>& findings) {
    for (const Finding& finding : findings) {
        hold(!finding.message.empty(), "a finding says what was seen");
        hold_nothing(test::trouble_on_screen(render_text(finding)));
    }
    std::string json;
    append_json(json, findings);
    hold_nothing(test::trouble_in_json(json));
    std::string sarif;
    append_sarif(sarif, findings);
    hold_nothing(test::trouble_in_json(sarif));
}

/// Every form that a decision is told in.
inline void hold_telling(const Decision& decision, const std::string& name) {
    for (const Length length : {Length::answer, Length::reasons, Length::everything}) {
        hold_nothing(test::trouble_on_screen(tell_text(decision, name, name, length)));
        hold_nothing(test::trouble_in_html(tell_html(decision, name, name, length)));
    }
    hold_nothing(test::trouble_on_screen(draw_dot(decision, name)));
    std::string json;
    append_json(json, decision, name);
    hold_nothing(test::trouble_in_json(json));
}

inline void hold_deciding(const Shelf& shelf, const Facts& facts, const std::string& name) {
    DecideOptions how;
    how.budget = small_budget;
    const Answer answer = shelf.decide(facts, *Date::parse("2024-06-01"), how);
    hold(answer.decision.has_value() != has_error(answer.findings),
         "an error leaves no decision, and only an error does");
    hold_findings(answer.findings);
    if (answer.decision) {
        hold_telling(*answer.decision, name);
    }
}

}  // namespace toprail::fuzz
