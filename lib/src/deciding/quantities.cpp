// Entry point: tell_quantities. Computed figures with the formula filled in.
#include "deciding/work.hpp"

#include <algorithm>
#include <map>

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

bool hangs_on_facts(const Quantity& quantity) {
    return std::any_of(quantity.pieces.begin(), quantity.pieces.end(), [](const Piece& piece) {
        return std::any_of(piece.refs.begin(), piece.refs.end(),
                           [](Ref ref) { return ref.kind != RefKind::none; });
    });
}

}  // namespace

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
