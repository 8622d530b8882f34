// Entry points: build_dependencies, building_order, displacement_order, report_unused.
#include "graph/dependencies.hpp"

#include <boost/graph/topological_sort.hpp>

#include <iterator>
#include <set>
#include <utility>

namespace toprail {
namespace {

// Vertices stand in one row: facts, conditions, quantities, provisions, duties.
class Builder {
  public:
    explicit Builder(const Model& model) : model_(model) {}

    DependencyGraph build() {
        add_vertices(VertexKind::fact, model_.facts.size());
        condition_base_ = add_vertices(VertexKind::condition, model_.conditions.size());
        quantity_base_ = add_vertices(VertexKind::quantity, model_.quantities.size());
        provision_base_ = add_vertices(VertexKind::provision, model_.provisions.size());
        duty_base_ = add_vertices(VertexKind::duty, model_.duties.size());
        for (std::size_t i = 0; i < model_.conditions.size(); ++i) {
            connect(condition_base_ + i, model_.conditions[i].tree);
        }
        for (std::size_t i = 0; i < model_.quantities.size(); ++i) {
            connect_quantity(quantity_base_ + i, model_.quantities[i]);
        }
        for (std::size_t i = 0; i < model_.provisions.size(); ++i) {
            connect_provision(i);
        }
        for (std::size_t i = 0; i < model_.duties.size(); ++i) {
            if (model_.duties[i].met_by) {
                connect(duty_base_ + i, *model_.duties[i].met_by);
            }
        }
        return graph_;
    }

  private:
    std::size_t add_vertices(VertexKind kind, std::size_t count) {
        const std::size_t base = boost::num_vertices(graph_);
        for (std::size_t i = 0; i < count; ++i) {
            boost::add_vertex(Vertex{kind, static_cast<std::uint32_t>(i)}, graph_);
        }
        return base;
    }

    void connect(std::size_t user, Ref ref) {
        switch (ref.kind) {
        case RefKind::fact:
            boost::add_edge(user, ref.index, graph_);
            break;
        case RefKind::condition:
            boost::add_edge(user, condition_base_ + ref.index, graph_);
            break;
        case RefKind::quantity:
            boost::add_edge(user, quantity_base_ + ref.index, graph_);
            break;
        case RefKind::none:
            break;
        }
    }

    void connect(std::size_t user, const ConditionTree& tree) {
        each_ref(tree, [this, user](Ref ref) { connect(user, ref); });
    }

    void connect_quantity(std::size_t user, const Quantity& quantity) {
        for (const Piece& piece : quantity.pieces) {
            if (piece.where) {
                connect(user, *piece.where);
            }
            for (const Ref ref : piece.refs) {
                connect(user, ref);
            }
        }
    }

    void connect_provision(std::size_t i) {
        const Provision& provision = model_.provisions[i];
        const std::size_t user = provision_base_ + i;
        if (provision.where) {
            connect(user, *provision.where);
        }
        for (const Guard& guard : provision.guards) {
            connect(user, guard.where);
        }
        const Effect& effect = provision.effect;
        if (effect.terms_met_by) {
            connect(user, *effect.terms_met_by);
        }
        if (effect.choice.valid()) {
            connect(user, Ref{RefKind::fact, effect.choice.value});
        }
        connect(user, effect.limited);
        connect(user, effect.bound_ref);
        if (provision.in_force.picked_by.valid()) {
            connect(user, Ref{RefKind::fact, provision.in_force.picked_by.value});
        }
        if (effect.duty.valid()) {
            boost::add_edge(duty_base_ + effect.duty.value, user, graph_);
        }
        if (effect.kind == EffectKind::remark) {
            if (const auto found = model_.shared_names.find(effect.target.text);
                found != model_.shared_names.end()) {
                connect(user, found->second);
            }
            const auto& own = model_[provision.written_in].quantities;
            if (const auto found = own.find(effect.target.text); found != own.end()) {
                connect(user, Ref{RefKind::quantity, found->second.value});
            }
        }
    }

    const Model& model_;
    DependencyGraph graph_;
    std::size_t condition_base_ = 0;
    std::size_t quantity_base_ = 0;
    std::size_t provision_base_ = 0;
    std::size_t duty_base_ = 0;
};

}  // namespace

DependencyGraph build_dependencies(const Model& model) {
    return Builder(model).build();
}

std::vector<Vertex> building_order(const DependencyGraph& graph) {
    std::vector<DependencyGraph::vertex_descriptor> order;
    // topological_sort gives a vertex after everything its edges lead to, which is what is wanted
    // here.
    boost::topological_sort(graph, std::back_inserter(order));
    std::vector<Vertex> vertices;
    for (const auto descriptor : order) {
        const Vertex& vertex = graph[descriptor];
        if (vertex.kind == VertexKind::condition || vertex.kind == VertexKind::quantity) {
            vertices.push_back(vertex);
        }
    }
    return vertices;
}

std::vector<ProvisionId> displacement_order(const Model& model) {
    boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS> graph(
        model.provisions.size());
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        for (const ProvisionId other : model.provisions[i].displaced) {
            boost::add_edge(other.value, i, graph);
        }
    }
    std::vector<std::size_t> order;
    boost::topological_sort(graph, std::back_inserter(order));
    std::vector<ProvisionId> provisions;
    provisions.reserve(order.size());
    for (const std::size_t i : order) {
        provisions.emplace_back(i);
    }
    return provisions;
}

void report_unused(const Model& model, const DependencyGraph& graph, Findings& findings) {
    std::vector<bool> picks(model.facts.size(), false);
    for (const Rulepack& pack : model.packs) {
        if (pack.edition_picked.picked_by.valid()) {
            picks[pack.edition_picked.picked_by.value] = true;
        }
    }
    // What facts at odds rest on has no edge: it decides nothing, and yet it is used.
    std::set<std::pair<VertexKind, std::uint32_t>> told_of;
    for (const AtOdds& at_odds : model.at_odds) {
        each_ref(at_odds.where, [&told_of](Ref ref) {
            told_of.emplace(ref.kind == RefKind::fact        ? VertexKind::fact
                            : ref.kind == RefKind::condition ? VertexKind::condition
                                                             : VertexKind::quantity,
                            ref.index);
        });
    }
    const auto [begin, end] = boost::vertices(graph);
    for (auto it = begin; it != end; ++it) {
        const Vertex& vertex = graph[*it];
        if (boost::in_degree(*it, graph) > 0 || told_of.contains({vertex.kind, vertex.index})) {
            continue;
        }
        if (vertex.kind == VertexKind::condition) {
            const Condition& condition = model.conditions[vertex.index];
            findings
                .add(Kind::unused_condition, condition.span,
                     "the condition \"" + condition.name + "\" is used nowhere")
                .help = "use it in a provision or take it out";
        } else if (vertex.kind == VertexKind::quantity) {
            const Quantity& quantity = model.quantities[vertex.index];
            findings
                .add(Kind::unused_quantity, quantity.span,
                     "the quantity \"" + quantity.name + "\" is used nowhere")
                .help = "compare or limit it somewhere, remark on it, or take it out";
        } else if (vertex.kind == VertexKind::fact && !picks[vertex.index]) {
            const Fact& fact = model.facts[vertex.index];
            findings.add(Kind::unused_fact, fact.span,
                         "the fact \"" + fact.name + "\" decides nothing here");
        }
    }
}

}  // namespace toprail
