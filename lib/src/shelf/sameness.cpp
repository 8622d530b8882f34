// Entry point: decide_alike. Both shelves are written out as one canonical text each, from what a
// decision is made of; equal texts, equal decisions. Nodes and expressions are numbered by one
// table for both shelves, by content, so that neither their order nor unused ones matter.
#include "shelf/sameness.hpp"

#include <algorithm>
#include <map>

namespace toprail {
namespace {

/// Numbers for contents; equal contents have one number in every shelf that shares the table.
class Contents {
  public:
    std::string number(const std::string& content) {
        return std::to_string(numbers_.try_emplace(content, numbers_.size()).first->second);
    }

  private:
    std::map<std::string, std::size_t> numbers_;
};

class Writer {
  public:
    Writer(const ShelfData& data, Contents& contents)
        : model_(data.model),
          graph_(data.graph),
          program_(data.program),
          contents_(contents),
          nodes_(program_.nodes.size()),
          expressions_(program_.expressions.size()) {}

    std::string write() {
        // Operands stand before what uses them, so one pass numbers everything.
        for (const ProgramStep& step : program_.order) {
            if (step.is_node) {
                nodes_[step.index] = contents_.number(content(program_.nodes[step.index]));
            } else {
                expressions_[step.index] =
                    contents_.number(content(program_.expressions[step.index]));
            }
        }
        write_words();
        write_packs();
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            write_provision(i);
        }
        write_outcomes();
        return std::move(out_);
    }

  private:
    // Every part is told with its length, so that no two lists of parts read alike.
    void add(std::string_view text) {
        out_ += std::to_string(text.size()) + ":";
        out_ += text;
    }
    void add(const std::vector<std::string>& texts) {
        add(std::to_string(texts.size()));
        for (const std::string& text : texts) {
            add(text);
        }
    }
    void add(const std::optional<Figure>& figure) {
        add(figure ? figure->base.str() : std::string("-"));
    }
    void add(const std::optional<Date>& day) { add(day ? day->text() : std::string("-")); }
    void add(NodeId id) { add(id.valid() ? nodes_[id.value] : std::string("-")); }
    void add(ExpressionId id) { add(id.valid() ? expressions_[id.value] : std::string("-")); }
    void add(bool flag) { add(std::string_view(flag ? "1" : "0")); }

    [[nodiscard]] std::string fact_name(FactId id) const {
        return id.valid() ? model_[id].name : std::string("-");
    }

    [[nodiscard]] std::string content(const TruthNode& node) const {
        std::string text = "n" + std::to_string(static_cast<int>(node.kind));
        if (node.kind == NodeKind::atom) {
            return text + content(program_.atoms[node.first]);
        }
        std::vector<std::string> operands;
        for (std::uint32_t i = 0; i < node.count; ++i) {
            operands.push_back(nodes_[program_.operands[node.first + i].value]);
        }
        std::sort(operands.begin(), operands.end());
        for (const std::string& operand : operands) {
            text += "," + operand;
        }
        return text;
    }

    [[nodiscard]] std::string content(const Atom& atom) const {
        std::string text = std::to_string(static_cast<int>(atom.kind)) + "|" +
                           fact_name(atom.fact) + "|" + std::to_string(atom.first_day) + "|" +
                           std::to_string(atom.last_day) + "|";
        for (const bool member : atom.members) {
            text += member ? '1' : '0';
        }
        if (atom.kind == AtomKind::compare) {
            text += "|" + std::to_string(static_cast<int>(atom.verb)) + "|" +
                    expressions_[atom.left.value] + "|" + expressions_[atom.right.value];
        }
        if (atom.authority.valid()) {
            text += "|" + model_.authorities[atom.authority.value].id;
        }
        return text;
    }

    [[nodiscard]] std::string content(const Expression& e) const {
        std::string text = "e" + std::to_string(static_cast<int>(e.kind)) + "|";
        switch (e.kind) {
        case Expression::Kind::figure:
            return text + e.figure.str();
        case Expression::Kind::fact:
            return text + fact_name(e.fact);
        case Expression::Kind::operation:
            text += std::to_string(static_cast<int>(e.operation));
            for (const ExpressionId operand : e.operands) {
                text += "," + expressions_[operand.value];
            }
            return text;
        case Expression::Kind::pieces:
            break;
        }
        for (const ExpressionPiece& piece : e.pieces) {
            text += (piece.where.valid() ? nodes_[piece.where.value] : "-") + ":" +
                    expressions_[piece.value.value] + ",";
        }
        return text;
    }

    void write_words() {
        for (const Fact& fact : model_.facts) {
            add(fact.name);
            add(std::to_string(static_cast<int>(fact.type)));
            add(fact.unit);
            add(fact.values);
            add(fact.from);
            add(fact.to);
            add(fact.plan);
            add(fact.may_not_apply);
            add(fact.is_choice);
            add(std::vector<std::string>{fact.reads, fact.ask, fact.why});
        }
        for (const Standing& standing : model_.standings) {
            add(standing.name);
            add(std::to_string(standing.rank));
        }
        for (const Duty& duty : model_.duties) {
            add(std::vector<std::string>{duty.name, duty.asks, duty.reads});
        }
        for (std::size_t i = 0; i < model_.at_odds.size(); ++i) {
            add(model_.at_odds[i].says);
            add_tree(program_.at_odds[i]);
        }
        for (std::size_t i = 0; i < model_.quantities.size(); ++i) {
            const Quantity& quantity = model_.quantities[i];
            add(std::vector<std::string>{quantity.name, quantity.unit, quantity.reads,
                                         quantity.cite, quantity.source});
            add(program_.quantities[i]);
        }
        // Of conditions, only those that something told rests on are ever told.
        const std::vector<bool> used = used_conditions();
        for (std::size_t i = 0; i < used.size(); ++i) {
            if (used[i]) {
                add(model_.conditions[i].name);
                add(model_.conditions[i].reads);
                add_tree(program_.conditions[i]);
            }
        }
    }

    // Whatever lies below a provision, a duty or a quantity; not what only idle conditions use.
    [[nodiscard]] std::vector<bool> used_conditions() const {
        std::vector<bool> seen(boost::num_vertices(graph_), false);
        std::vector<std::size_t> open;
        const auto [begin, end] = boost::vertices(graph_);
        for (auto it = begin; it != end; ++it) {
            const VertexKind kind = graph_[*it].kind;
            if (kind != VertexKind::condition && kind != VertexKind::fact) {
                seen[*it] = true;
                open.push_back(*it);
            }
        }
        std::vector<bool> used(model_.conditions.size(), false);
        while (!open.empty()) {
            const std::size_t at = open.back();
            open.pop_back();
            if (graph_[at].kind == VertexKind::condition) {
                used[graph_[at].index] = true;
            }
            const auto [first, last] = boost::out_edges(at, graph_);
            for (auto edge = first; edge != last; ++edge) {
                const std::size_t below = boost::target(*edge, graph_);
                if (!seen[below]) {
                    seen[below] = true;
                    open.push_back(below);
                }
            }
        }
        return used;
    }

    void write_packs() {
        for (const Rulepack& pack : model_.packs) {
            add(std::vector<std::string>{pack.id, pack.title, pack.standing, pack.from.text()});
            add(pack.until);
            add(pack.last_day);
            add(pack.verified_through);
            add(fact_name(pack.edition_picked.picked_by));
            add(pack.what_was_read);
            add(pack.what_is_open);
            for (const Adoption& adoption : pack.adopts) {
                add(std::vector<std::string>{adoption.pack.text, adoption.cite, adoption.source});
            }
        }
    }

    // Reasons are told from trees: their shape counts, not only what they lower to. The words of a
    // sentence count by their meaning, which the node holds.
    void add_tree(const LoweredTree& tree) {
        add(std::to_string(static_cast<int>(tree.tree->shape)));
        add(tree.tree->sentence.subject.text);
        add(tree.tree->sentence.negated);
        add(tree.node);
        add(std::to_string(tree.parts.size()));
        for (const LoweredTree& part : tree.parts) {
            add_tree(part);
        }
    }
    void add_tree(const std::optional<LoweredTree>& tree) {
        add(tree.has_value());
        if (tree) {
            add_tree(*tree);
        }
    }

    void write_provision(std::size_t i) {
        const Provision& provision = model_.provisions[i];
        const LoweredProvision& lowered = program_.provisions[i];
        const Effect& effect = provision.effect;
        add(model_.key(ProvisionId(i)));
        add(model_[provision.written_in].id);
        add(std::vector<std::string>{provision.cite, std::string(word(provision.mark)),
                                     provision.source_note, provision.standing, provision.gist});
        add(provision.also_cite);
        add_tree(lowered.where);
        for (const LoweredTree& guard : lowered.guards) {
            add_tree(guard);
        }
        for (const NodeId node :
             {lowered.edition, lowered.in_force, lowered.condition, lowered.stands,
              lowered.governed, lowered.displaced, lowered.live}) {
            add(node);
        }
        for (const ProvisionId other : provision.displaced) {
            add(model_.key(other));
        }
        for (const ProvisionId other : effect.relaxed) {
            add(model_.key(other));
        }
        add(std::vector<std::string>{std::to_string(static_cast<int>(effect.kind)),
                                     effect.target.text, effect.terms});
        add(effect.required);
        add(effect.at_most);
        for (const bool removed : effect.removes) {
            add(removed);
        }
        add(program_.bounds[i]);
        add_tree(program_.terms_met_by[i]);
    }

    void write_outcomes() {
        for (const NodeId node : program_.governs) {
            add(node);
        }
        for (const LoweredDuty& duty : program_.duties) {
            for (const NodeId node :
                 {duty.required, duty.excepted, duty.not_required, duty.contested}) {
                add(node);
            }
            add_tree(duty.met_by);
        }
        for (const LoweredChoice& choice : program_.choices) {
            add(fact_name(choice.choice));
            for (const NodeId node : choice.removed) {
                add(node);
            }
            add(choice.empty);
        }
        for (const LoweredLimit& limit : program_.limits) {
            add(model_.name(limit.limited));
        }
    }

    const Model& model_;
    const DependencyGraph& graph_;
    const Program& program_;
    Contents& contents_;
    std::vector<std::string> nodes_;
    std::vector<std::string> expressions_;
    std::string out_;
};

}  // namespace

bool decide_alike(const ShelfData& a, const ShelfData& b) {
    Contents contents;
    return Writer(a, contents).write() == Writer(b, contents).write();
}

}  // namespace toprail
