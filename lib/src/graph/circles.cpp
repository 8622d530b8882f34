// Entry point: report_circles.
#include "graph/dependencies.hpp"

#include <boost/graph/depth_first_search.hpp>

#include <algorithm>
#include <functional>
#include <string>
#include <utility>

namespace toprail {
namespace {

using Path = std::vector<std::size_t>;

// A graph has circles without number, each as long as the graph: so many are told, the next once
// these are broken; and of a long one its first steps and its last.
constexpr std::size_t most_circles = 50;
constexpr std::size_t most_steps = 20;

// Remembers from where each vertex was reached, and at each edge back to an open vertex calls out
// the path that it closes. BGL keeps its own stack, so depth does not matter.
template <class Graph>
class CircleVisitor : public boost::dfs_visitor<> {
  public:
    CircleVisitor(Path& from, const std::function<void(const Path&)>& report)
        : from_(from),
          report_(report) {}

    template <class Edge>
    void tree_edge(Edge edge, const Graph& graph) {
        from_[boost::target(edge, graph)] = boost::source(edge, graph);
    }

    template <class Edge>
    void back_edge(Edge edge, const Graph& graph) {
        if (++told_ > most_circles) {
            return;
        }
        const std::size_t start = boost::target(edge, graph);
        Path path{start};
        for (std::size_t at = boost::source(edge, graph); at != start; at = from_[at]) {
            path.push_back(at);
        }
        path.push_back(start);
        std::reverse(path.begin(), path.end());
        report_(path);
    }

  private:
    Path& from_;
    const std::function<void(const Path&)>& report_;
    std::size_t told_ = 0;
};

template <class Graph>
void each_circle(const Graph& graph, const std::function<void(const Path&)>& report) {
    Path from(boost::num_vertices(graph));
    boost::depth_first_search(graph, boost::visitor(CircleVisitor<Graph>(from, report)));
}

struct Named {
    std::string name;
    Span span;
};

void add_circle(Kind kind, const std::vector<Named>& steps, std::string_view verb,
                Findings& findings) {
    std::string path;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (i == most_steps && i + 1 < steps.size()) {
            path += " -> (" + std::to_string(steps.size() - 1 - i) + " more)";
            i = steps.size() - 1;
        }
        path += (path.empty() ? "" : " -> ") + steps[i].name;
    }
    Finding& finding =
        findings.add(kind, steps.front().span,
                     "\"" + steps.front().name + "\" " + std::string(verb) + " itself: " + path);
    for (std::size_t i = 1; i + 1 < steps.size() && i < most_steps; ++i) {
        finding.others.push_back(
            {place_of(steps[i].span), "on the way, \"" + steps[i].name + "\""});
    }
    finding.help = "break the circle at one of these names";
}

}  // namespace

bool report_circles(const Model& model, const DependencyGraph& graph, Findings& findings) {
    bool sound = true;
    each_circle(graph, [&](const Path& path) {
        std::vector<Named> steps;
        for (const std::size_t at : path) {
            const Vertex& vertex = graph[at];
            if (vertex.kind == VertexKind::condition) {
                const Condition& condition = model.conditions[vertex.index];
                steps.push_back({condition.name, condition.span});
            } else if (vertex.kind == VertexKind::quantity) {
                const Quantity& quantity = model.quantities[vertex.index];
                steps.push_back({quantity.name, quantity.span});
            }
        }
        sound = false;
        add_circle(Kind::circle, steps, "depends on", findings);
    });
    boost::adjacency_list<boost::vecS, boost::vecS, boost::directedS> displacement(
        model.provisions.size());
    for (std::size_t i = 0; i < model.provisions.size(); ++i) {
        for (const ProvisionId other : model.provisions[i].displaced) {
            boost::add_edge(i, other.value, displacement);
        }
    }
    each_circle(displacement, [&](const Path& path) {
        std::vector<Named> steps;
        for (const std::size_t at : path) {
            steps.push_back({model.provisions[at].id, model.provisions[at].span});
        }
        sound = false;
        add_circle(Kind::displacement_circle, steps, "displaces", findings);
    });
    return sound;
}

}  // namespace toprail
