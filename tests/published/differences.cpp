// Entry point: differences. A published case decided on a shelf and held against its source.
#include "deciding/three_valued.hpp"
#include "published/case_file.hpp"
#include "rulepack/resolve.hpp"
#include "shelf/shelf_data.hpp"
#include "support/shelves.hpp"

#include <algorithm>
#include <set>

namespace toprail::test {
namespace {

// The quantities of that name, seen from the authorities of the case or else from the vocabulary.
std::set<QuantityId> quantities_called(const Model& model, const PublishedCase& published,
                                       const std::string& name) {
    std::set<QuantityId> found;
    const auto look_from = [&](PackId pack) {
        const Ref ref = Scope(model, pack).find(name);
        if (ref.kind == RefKind::quantity) {
            found.insert(QuantityId(ref.index));
        }
    };
    look_from(PackId());
    for (const std::string& authority : published.authorities) {
        const auto known = model.authority_names.find(authority);
        if (known != model.authority_names.end()) {
            for (const PackId edition : model.authorities[known->second.value].editions) {
                look_from(edition);
            }
        }
    }
    return found;
}

std::string interval(const Value& value, const std::string& unit_name) {
    const Unit* unit = find_unit(unit_name);
    return unit == nullptr ? value.high.str() : show_in_unit(value.high, *unit, 6);
}

std::string hold(const std::optional<Value>& value, const ExpectedQuantity& expected,
                 const std::string& unit) {
    const std::string& name = expected.name.text;
    if (!value || (value->kind != Value::Kind::number && value->kind != Value::Kind::absent)) {
        return name + " is not settled by the facts";
    }
    if (value->kind == Value::Kind::absent) {
        return expected.value ? name + " does not apply" : "";
    }
    const std::string seen = name + " comes to " + interval(*value, unit);
    if (!expected.value) {
        return seen + ", but the case says that it does not apply";
    }
    const Number within = expected.within ? expected.within->base : Number(0);
    const Number& wanted = expected.value->base;
    const bool held = value->low >= wanted - within && value->high <= wanted + within;
    return held ? "" : seen + ", not " + expected.value->text;
}

// The figures before they are rounded for display.
void hold_quantities(const Shelf& shelf, const PublishedCase& published,
                     std::vector<std::string>& found) {
    const ShelfData& data = shelf.data();
    Findings findings;
    const std::vector<BoundFact> bound = bind_facts(data.model, published.facts, findings);
    Circumstances circumstances;
    circumstances.on = *published.on;
    circumstances.named.assign(data.model.authorities.size(), false);
    for (const std::string& authority : published.authorities) {
        circumstances.named[data.model.authority_names.find(authority)->second.value] = true;
    }
    const FirstPass pass = three_valued(data.program, bound, circumstances);
    for (const ExpectedQuantity& expected : published.quantities) {
        const std::set<QuantityId> candidates =
            quantities_called(data.model, published, expected.name.text);
        if (candidates.empty()) {
            found.push_back("no quantity is called " + expected.name.text);
        }
        for (const QuantityId id : candidates) {
            const Quantity& quantity = data.model.quantities[id.value];
            if (expected.value && expected.value->dimension != quantity.dimension) {
                found.push_back(expected.name.text + " is no " +
                                describe(expected.value->dimension));
                continue;
            }
            const auto& value = pass.expressions[data.program.quantities[id.value].value];
            std::string message = hold(value, expected, quantity.unit);
            if (!message.empty()) {
                found.push_back(std::move(message));
            }
        }
    }
}

void hold_fit(const Decision& decision, const PublishedCase& published,
              std::vector<std::string>& found) {
    for (const ExpectedFit& expected : published.fit) {
        const auto seen =
            std::find_if(decision.fit.begin(), decision.fit.end(),
                         [&](const Fit& fit) { return fit.name == expected.name.text; });
        if (seen == decision.fit.end()) {
            found.push_back("fit of " + expected.name.text + " is not told");
        } else if (word(seen->verdict) != expected.verdict.text) {
            found.push_back("fit of " + expected.name.text + " is " +
                            std::string(word(seen->verdict)) + " (" + seen->reason + "), not " +
                            expected.verdict.text);
        }
    }
}

}  // namespace

std::vector<std::string> differences(const Shelf& shelf, const PublishedCase& published) {
    std::vector<std::string> found;
    DecideOptions options;
    options.authorities = published.authorities;
    const Answer answer = shelf.decide(published.facts, *published.on, options);
    if (!answer.decision) {
        return {"the case cannot be decided:\n" + told(answer.findings)};
    }
    const std::string home = published.authorities.empty() ? "" : published.authorities.front();
    for (const Mismatch& each :
         mismatches(shelf.data().model, *answer.decision, home, published.expected)) {
        found.push_back(each.message);
    }
    hold_fit(*answer.decision, published, found);
    if (!published.quantities.empty()) {
        hold_quantities(shelf, published, found);
    }
    return found;
}

}  // namespace toprail::test
