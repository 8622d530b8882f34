// Entry points: read_condition, read_conditions, read_quantities.
#include "rulepack/read_parts.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace toprail {
namespace {

constexpr std::array<std::pair<std::string_view, ConditionTree::Shape>, 3> list_keys{{
    {"all-of", ConditionTree::Shape::all_of},
    {"any-of", ConditionTree::Shape::any_of},
    {"none-of", ConditionTree::Shape::none_of},
}};

std::optional<ConditionTree> read_list(const Node& node, const Node& list,
                                       ConditionTree::Shape shape, Findings& findings) {
    if (!list.is_list() || list.items.empty()) {
        findings.add(list.is_list() ? Kind::empty_list : Kind::wrong_shape, list.span,
                     "a list of sentences is expected here");
        return std::nullopt;
    }
    ConditionTree tree;
    tree.shape = shape;
    tree.span = node.span;
    bool sound = true;
    for (const Node& item : list.items) {
        if (auto part = read_condition(item, findings)) {
            tree.parts.push_back(std::move(*part));
        } else {
            sound = false;
        }
    }
    return sound ? std::optional(std::move(tree)) : std::nullopt;
}

// The list under whichever of all-of, any-of, none-of stands in the map; several are a finding.
std::optional<ConditionTree> read_any_list(Fields& fields, Findings& findings) {
    std::optional<ConditionTree> tree;
    unsigned lists = 0;
    for (const auto& [key, shape] : list_keys) {
        if (const Node* list = fields.take(key)) {
            ++lists;
            tree = read_list(fields.node(), *list, shape, findings);
        }
    }
    if (lists > 1) {
        findings
            .add(Kind::bad_sentence, fields.node().span,
                 "one map holds only one of all-of, any-of and none-of")
            .help = "nest them: all-of: [.., {none-of: [..]}]";
        return std::nullopt;
    }
    return tree;
}

bool has_list(const Fields& fields) {
    return std::any_of(list_keys.begin(), list_keys.end(),
                       [&fields](const auto& row) { return fields.has(row.first); });
}

std::optional<Piece> read_piece(const Node& node, Findings& findings) {
    Fields fields(node, "a piece", findings);
    Piece piece;
    if (const Node* where = fields.take("where")) {
        piece.where = read_condition(*where, findings);
    }
    const Node* equals = fields.require("equals");
    std::optional<Formula> formula =
        equals == nullptr ? std::nullopt : read_formula(*equals, findings);
    fields.finish();
    if (!formula) {
        return std::nullopt;
    }
    piece.formula = std::move(*formula);
    return piece;
}

void read_pieces(Fields& fields, Quantity& quantity, Findings& findings) {
    const Node* equals = fields.take("equals");
    const Node* pieces = fields.list("pieces");
    if ((equals == nullptr) == (pieces == nullptr)) {
        findings.add(Kind::missing_key, fields.node().span,
                     "a quantity has either \"equals\" or \"pieces\"");
        return;
    }
    if (equals != nullptr) {
        if (auto formula = read_formula(*equals, findings)) {
            quantity.pieces.push_back({std::nullopt, std::move(*formula), {}});
        }
        return;
    }
    for (const Node& item : pieces->items) {
        if (auto piece = read_piece(item, findings)) {
            quantity.pieces.push_back(std::move(*piece));
        }
    }
}

}  // namespace

std::optional<ConditionTree> read_condition(const Node& node, Findings& findings) {
    if (node.is_text()) {
        auto sentence = read_sentence(node, findings);
        if (!sentence) {
            return std::nullopt;
        }
        ConditionTree tree;
        tree.shape = ConditionTree::Shape::sentence;
        tree.span = node.span;
        tree.sentence = std::move(*sentence);
        return tree;
    }
    if (node.is_list()) {
        findings
            .add(Kind::bad_sentence, node.span, "a bare list does not say how its parts combine")
            .help = "put it under all-of, any-of or none-of";
        return std::nullopt;
    }
    Fields fields(node, "a condition", findings);
    auto tree = read_any_list(fields, findings);
    if (!has_list(fields)) {
        findings.add(Kind::bad_sentence, node.span,
                     "a condition is a sentence, or a map with all-of, any-of or none-of");
    }
    fields.finish();
    return tree;
}

std::vector<Condition> read_conditions(const Node* node, Findings& findings) {
    std::vector<Condition> conditions;
    if (node == nullptr) {
        return conditions;
    }
    for (const Entry& entry : node->entries) {
        check_name(entry.key, entry.key_span, findings);
        Fields fields(entry.value, "a condition", findings);
        Condition condition;
        condition.name = entry.key;
        condition.span = entry.key_span;
        condition.reads = fields.require_text("reads");
        const Node* is = fields.take("is");
        std::optional<ConditionTree> tree = read_any_list(fields, findings);
        if (is != nullptr && !has_list(fields)) {
            tree = read_condition(*is, findings);
        } else if (entry.value.is_map() && (is != nullptr) == has_list(fields)) {
            findings.add(Kind::bad_sentence, entry.key_span,
                         "a condition has exactly one of is, all-of, any-of and none-of");
        }
        fields.finish();
        // A condition that could not be read keeps its name, so that its users are not reported
        // too.
        condition.tree = tree ? std::move(*tree) : ConditionTree{};
        conditions.push_back(std::move(condition));
    }
    return conditions;
}

std::vector<Quantity> read_quantities(const Node* node, Findings& findings) {
    std::vector<Quantity> quantities;
    if (node == nullptr) {
        return quantities;
    }
    for (const Entry& entry : node->entries) {
        check_name(entry.key, entry.key_span, findings);
        Fields fields(entry.value, "a quantity", findings);
        Quantity quantity;
        quantity.name = entry.key;
        quantity.span = entry.key_span;
        if (const auto kind = fields.require_one_of("kind", measured_kinds())) {
            quantity.dimension = *dimension_of_kind(measured_kinds()[*kind]);
        }
        quantity.unit = read_unit(fields, quantity.dimension, findings);
        quantity.reads = fields.require_text("reads");
        quantity.cite = fields.text("cite");
        quantity.source = fields.text("source");
        read_pieces(fields, quantity, findings);
        fields.finish();
        quantities.push_back(std::move(quantity));
    }
    return quantities;
}

bool check_name(const std::string& name, const Span& span, Findings& findings) {
    if (is_name(name)) {
        return true;
    }
    findings.add(Kind::bad_name, span, "\"" + name + "\" is not a name").help =
        "names are lower-case words and digits joined by hyphens, such as platform-height";
    return false;
}

const std::vector<std::string>& measured_kinds() {
    static const std::vector<std::string> kinds{"length", "mass",  "force", "time",
                                                "speed",  "angle", "ratio", "count"};
    return kinds;
}

std::optional<Dimension> dimension_of_kind(std::string_view kind) {
    static constexpr std::array<std::pair<std::string_view, Dimension>, 8> table{{
        {"length", length_dimension},
        {"mass", mass_dimension},
        {"force", force_dimension},
        {"time", time_dimension},
        {"speed", speed_dimension},
        {"angle", angle_dimension},
        {"ratio", plain_number},
        {"count", plain_number},
    }};
    for (const auto& [name, dimension] : table) {
        if (name == kind) {
            return dimension;
        }
    }
    return std::nullopt;
}

std::string read_unit(Fields& fields, Dimension dimension, Findings& findings) {
    const Word unit = fields.word("unit");
    if (unit.span.source == nullptr) {
        if (!dimension.plain()) {
            findings.add(Kind::missing_key, fields.node().span,
                         "a measured kind needs the \"unit\" in which people give it");
        }
        return {};
    }
    const Unit* known = find_unit(unit.text);
    if (known == nullptr) {
        findings.add(Kind::unknown_unit, unit.span, "\"" + unit.text + "\" is not a unit").help =
            how_to_measure(dimension);
        return {};
    }
    if (known->dimension != dimension) {
        findings
            .add(Kind::wrong_dimension, unit.span,
                 "\"" + unit.text + "\" measures " + describe(known->dimension) + ", not " +
                     describe(dimension))
            .help = how_to_measure(dimension);
        return {};
    }
    return unit.text;
}

}  // namespace toprail
