// A small vocabulary, and packs made of a few provisions, for tests of one behaviour at a time.
#pragma once

#include "support/shelves.hpp"

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace toprail::test {

/// Facts: mechanism, guardrail (choices), gate-open, tied-off, roofed (yes-no; tied-off is the
/// plan's), height, width, depth (lengths; depth may not apply), weight (mass), persons (count),
/// made-on (date, may not apply). Choices: means, anchor. Duties: tie-off, vest. Quantity: reach.
inline SourceText small_vocabulary() {
    return {"vocabulary.yaml", R"(vocabulary: small
title: A few words
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
  maker: {rank: 4, may: [require, limit, explain]}
  interpretation: {rank: 5, may: [relax, explain]}
  guidance: {rank: 6, may: [explain]}
facts:
  mechanism: {type: choice, values: [boom, scissor, mast], reads: the mechanism, ask: "What raises it?", why: w}
  guardrail: {type: choice, values: [complete, removed], may-not-apply: yes, reads: the guardrail, ask: "Rails?", why: w}
  gate-open: {type: yes-no, reads: the gate is open, ask: "Is the gate open?", why: w}
  roofed: {type: yes-no, may-not-apply: yes, reads: there is a roof, ask: "Is there a roof?", why: w}
  tied-off: {type: yes-no, plan: yes, reads: the person is tied off, ask: "Tied off?", why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: "How high?", why: w}
  width: {type: length, unit: ft, from: 1 ft, to: 40 ft, reads: the width, ask: "How wide?", why: w}
  depth: {type: length, unit: ft, from: 0 ft, may-not-apply: yes, reads: the depth, ask: "How deep?", why: w}
  weight: {type: mass, unit: lb, from: 0 lb, reads: the weight, ask: "How heavy?", why: w}
  persons: {type: count, from: 0, to: 20, reads: the persons aboard, ask: "How many?", why: w}
  made-on: {type: date, may-not-apply: yes, reads: the day it was made, ask: "When was it made?", why: w}
choices:
  means: {values: [restraint, arrest], reads: the means, ask: "Which means?", why: w}
  anchor: {values: [boom, basket, structure], reads: the anchor, ask: "Which anchor?", why: w}
duties:
  tie-off: {asks: "Must the person be tied off?", reads: tie-off, met-by: tied-off}
  vest: {asks: "Must a vest be worn?", reads: a vest}
quantities:
  reach: {kind: length, unit: ft, reads: the reach, equals: height + width}
)"};
}

/// A pack named `id` with the given provisions and whatever else stands in `body`.
inline SourceText small_pack(std::string_view body, std::string id = "test.pack",
                             std::string_view standing = "regulation",
                             std::string_view edition = "{from: 2000-01-01, "
                                                        "verified-through: 2030-01-01, "
                                                        "picked-by: work-date}") {
    std::string text = "rulepack: " + id + "\ntitle: Rules of " + id +
                       "\nformat: 1\nvocabulary: small\nstanding: ";
    text += standing;
    text += "\nedition: ";
    text += edition;
    text += "\n";
    text += body;
    return {id + ".yaml", std::move(text)};
}

/// A sentence may hold brackets, which end a plain text in a flow map: it is put into quotes.
inline std::string in_flow(const std::string& where) {
    return where.front() == '{' ? where : "\"" + where + "\"";
}

/// The lines of one provision, to stand under "provisions:".
inline std::string provision(const std::string& id, const std::string& effect,
                             const std::string& where = {}, const std::string& more = {}) {
    return "  - {id: " + id + ", cite: Rule " + id + ", source: read, gist: Gist of " + id + "., " +
           effect + (where.empty() ? "" : ", where: " + in_flow(where)) +
           (more.empty() ? "" : ", " + more) + "}\n";
}

inline std::string requires_tie_off(const std::string& id, const std::string& where = {},
                                    const std::string& more = {}) {
    return provision(id, "duty: tie-off, calls-for: required", where, more);
}

inline std::string frees_tie_off(const std::string& id, const std::string& where = {},
                                 const std::string& more = {}) {
    return provision(id, "duty: tie-off, calls-for: not required", where, more);
}

inline Shelf small_shelf(const std::string& provisions) {
    return shelf_of({small_vocabulary(), small_pack("provisions:\n" + provisions)});
}

inline const DutyDecision& tie_off(const Decision& decision) {
    const DutyDecision* duty = decision.duty("tie-off");
    if (duty == nullptr) {
        throw std::runtime_error("nothing speaks of tie-off");
    }
    return *duty;
}

/// What became of the provision; the test fails when it was not considered.
inline Status status_of(const Decision& decision, std::string_view provision) {
    for (const Step& step : decision.trail) {
        if (step.provision == provision) {
            return step.status;
        }
    }
    throw std::runtime_error("not considered: " + std::string(provision));
}

}  // namespace toprail::test
