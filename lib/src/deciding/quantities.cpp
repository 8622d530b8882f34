// Entry points: tell_quantities, tell_without_value. Computed figures with the formula filled in.
#include "deciding/thresholds.hpp"
#include "deciding/work.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

namespace toprail {
namespace {

bool name_character(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
}

// The formula's text with each name followed by its value replaced.
std::string fill(const Work& work, const Piece& piece) {
    std::map<std::string, Ref> names;
    for (std::size_t i = 0; i < piece.refs.size(); ++i) {
        if (piece.refs[i].kind != RefKind::none) {
            names.emplace(piece.formula.terms[i].name, piece.refs[i]);
        }
    }
    const std::string& text = piece.formula.text;
    std::string filled;
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at;
        while (end < text.size() && name_character(text[end])) {
            ++end;
        }
        if (end == at) {
            filled += text[at++];
            continue;
        }
        const std::string word = text.substr(at, end - at);
        const auto found = names.find(word);
        filled += found == names.end() ? word : work.value_text(found->second);
        at = end;
    }
    return filled;
}

// The piece that counts, when that is settled.
const Piece* chosen(const Work& work, const Quantity& quantity, const Expression& expression) {
    // A quantity that merely equals another shares its expression, whose pieces are not its own.
    if (quantity.pieces.size() == 1 && !quantity.pieces.front().where) {
        return &quantity.pieces.front();
    }
    if (expression.kind != Expression::Kind::pieces ||
        expression.pieces.size() != quantity.pieces.size()) {
        return nullptr;
    }
    for (std::size_t i = 0; i < expression.pieces.size(); ++i) {
        const NodeId where = expression.pieces[i].where;
        const Truth truth = where.valid() ? work.knowledge.first().nodes[where.value] : Truth::yes;
        if (truth != Truth::no) {
            return truth == Truth::yes ? &quantity.pieces[i] : nullptr;
        }
    }
    return nullptr;
}

// Nodes and expressions that something hinges on: where comparisons with quantities that have no
// value are taken as not known, these are not known either.
std::vector<bool> sides_that_matter(const Work& work, const std::vector<NodeId>& nodes) {
    const FirstPass doubtful = three_valued(work.program, work.knowledge.facts(),
                                            work.circumstances, WithoutValue::is_open);
    const OpenCone cone = open_cone(work.program, doubtful, nodes);
    std::vector<bool> matters(work.program.expressions.size(), false);
    for (std::size_t i = 0; i < work.program.nodes.size(); ++i) {
        const TruthNode& node = work.program.nodes[i];
        if (cone.nodes[i] && node.kind == NodeKind::atom &&
            work.program.atoms[node.first].kind == AtomKind::compare) {
            matters[work.program.atoms[node.first].left.value] = true;
            matters[work.program.atoms[node.first].right.value] = true;
        }
    }
    const auto mark = [&](Ref ref) {
        if (ref.kind == RefKind::quantity) {
            matters[work.program.quantities[ref.index].value] = true;
        }
    };
    for (const LoweredLimit& limit : work.program.limits) {
        for (const ProvisionId id : limit.provisions) {
            if (work.may_govern(id) &&
                doubtful.nodes[work.program.provisions[id.value].live.value] != Truth::no) {
                mark(limit.limited);
                mark(work.model[id].effect.bound_ref);
            }
        }
    }
    return matters;
}

bool hangs_on_facts(const Quantity& quantity) {
    return std::any_of(quantity.pieces.begin(), quantity.pieces.end(), [](const Piece& piece) {
        return std::any_of(piece.refs.begin(), piece.refs.end(),
                           [](Ref ref) { return ref.kind != RefKind::none; });
    });
}

}  // namespace

Sentences tell_without_value(const Work& work, const std::vector<NodeId>& nodes) {
    const std::vector<bool>& without = work.knowledge.first().without_value;
    if (std::find(without.begin(), without.end(), true) == without.end()) {
        return {};
    }
    const std::vector<bool> matters = sides_that_matter(work, nodes);
    std::vector<Ref> open;
    std::vector<bool> seen(work.model.quantities.size(), false);
    const auto push = [&](Ref ref) {
        const bool lacks = work.may_lack_value(ref);
        if (lacks && !seen[ref.index]) {
            seen[ref.index] = true;
            open.push_back(ref);
        }
        return lacks;
    };
    for (std::size_t i = 0; i < work.model.quantities.size(); ++i) {
        if (matters[work.program.quantities[i].value]) {
            push({RefKind::quantity, static_cast<std::uint32_t>(i)});
        }
    }
    // One that lacks a value because another does leads to that one.
    std::set<std::string> told;
    while (!open.empty()) {
        const Quantity& quantity = work.model.quantities[open.back().index];
        const ExpressionId id = work.program.quantities[open.back().index];
        open.pop_back();
        const Piece* piece = chosen(work, quantity, work.program.expressions[id.value]);
        bool leads_on = false;
        for (std::size_t i = 0; piece != nullptr && i < piece->refs.size(); ++i) {
            leads_on |= push(piece->refs[i]);
        }
        if (!leads_on) {
            const std::string sum =
                piece == nullptr ? "" : " = " + piece->formula.text + " = " + fill(work, *piece);
            told.insert(quantity.reads + " (" + quantity.name + sum + ")");
        }
    }
    const std::size_t most = std::min(told.size(), Sentences::most);
    return {{told.begin(), std::next(told.begin(), static_cast<std::ptrdiff_t>(most))},
            told.size()};
}

std::vector<QuantityValue> tell_quantities(Work& work) {
    std::map<std::string, QuantityValue> by_name;
    for (std::size_t i = 0; i < work.model.quantities.size(); ++i) {
        const Quantity& quantity = work.model.quantities[i];
        const ExpressionId id = work.program.quantities[i];
        const auto& value = work.knowledge.value(id);
        if (!value || value->kind != Value::Kind::number || !hangs_on_facts(quantity)) {
            continue;
        }
        QuantityValue told;
        told.quantity = quantity.name;
        told.reads = quantity.reads;
        told.value = value_text(value, quantity.unit);
        if (const Piece* piece = chosen(work, quantity, work.program.expressions[id.value])) {
            told.formula = piece->formula.text;
            told.filled = fill(work, *piece);
        }
        // Packs may have quantities of one name: all are told, in a fixed order.
        by_name.emplace(quantity.name + "#" + std::to_string(i), std::move(told));
    }
    std::vector<QuantityValue> all;
    for (auto& [name, told] : by_name) {
        all.push_back(std::move(told));
    }
    return all;
}

}  // namespace toprail
