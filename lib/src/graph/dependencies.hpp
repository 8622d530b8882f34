// The dependency graph: facts, conditions, quantities, provisions and duties as vertices, an edge
// from each to what it is built from. Immutable once built; owns nothing of the model.
#pragma once

#include "rulepack/model.hpp"

#include <boost/graph/adjacency_list.hpp>

#include <string>
#include <vector>

namespace toprail {

enum class VertexKind : std::uint8_t { fact, condition, quantity, provision, duty };

struct Vertex {
    VertexKind kind = VertexKind::fact;
    std::uint32_t index = 0;  // into the model's vector of that kind
};

using DependencyGraph =
    boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS, Vertex>;

/// Builds the graph of a model whose names are resolved. Unresolved references leave no edge.
DependencyGraph build_dependencies(const Model& model);

/// Reports every circle among conditions and quantities, and among displacements, as the path that
/// closes it. True when there is none.
bool report_circles(const Model& model, const DependencyGraph& graph, Findings& findings);

/// Conditions and quantities, each after everything it is built from. Precondition: no circles.
std::vector<Vertex> building_order(const DependencyGraph& graph);

/// Provisions, each after those that displace it. Precondition: no circles.
std::vector<ProvisionId> displacement_order(const Model& model);

/// Reports conditions and quantities that nothing uses, and facts that no pack uses.
void report_unused(const Model& model, const DependencyGraph& graph, Findings& findings);

/// Calls `visit` with every reference that a condition tree holds.
template <class Visit>
void each_ref(const ConditionTree& tree, const Visit& visit) {
    if (tree.test.subject.kind != RefKind::none) {
        visit(tree.test.subject);
    }
    if (tree.test.other.kind != RefKind::none) {
        visit(tree.test.other);
    }
    for (const ConditionTree& part : tree.parts) {
        each_ref(part, visit);
    }
}

}  // namespace toprail
