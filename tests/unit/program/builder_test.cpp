#include "program/builder.hpp"
#include "shelf/shelf_data.hpp"
#include "support/small_shelf.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace toprail;
using namespace toprail::test;

namespace {

Atom member(std::size_t fact, std::vector<bool> members) {
    Atom atom;
    atom.fact = FactId(fact);
    atom.members = std::move(members);
    return atom;
}

}  // namespace

TEST_CASE("builder: equal nodes are one, whatever the order of their parts") {
    Program program;
    ProgramBuilder build(program);
    const NodeId a = build.atom(member(0, {false, true}));
    const NodeId b = build.atom(member(1, {false, true}));
    CHECK(build.atom(member(0, {false, true})) == a);
    CHECK(build.atom(member(0, {true, false})) != a);
    CHECK(build.all({a, b}) == build.all({b, a}));
    CHECK(build.any({a, b, a}) == build.any({b, a}));
    CHECK(build.all({a, b}) != build.any({a, b}));
}

TEST_CASE("builder: constants and single parts vanish") {
    Program program;
    ProgramBuilder build(program);
    const NodeId a = build.atom(member(0, {false, true}));
    CHECK(build.all({}) == build.always());
    CHECK(build.any({}) == build.never());
    CHECK(build.all({a}) == a);
    CHECK(build.all({a, build.always()}) == a);
    CHECK(build.all({a, build.never()}) == build.never());
    CHECK(build.any({a, build.never()}) == a);
    CHECK(build.any({a, build.always()}) == build.always());
    CHECK(build.negate(build.negate(a)) == a);
    CHECK(build.negate(build.always()) == build.never());
}

TEST_CASE("builder: equal expressions are one") {
    Program program;
    ProgramBuilder build(program);
    const ExpressionId ten = build.figure(Number(10));
    CHECK(build.figure(Number(20, 2)) == ten);
    const ExpressionId height = build.fact(FactId(3));
    CHECK(build.fact(FactId(3)) == height);
    CHECK(build.operation(Operation::subtract, {height, ten}) ==
          build.operation(Operation::subtract, {height, ten}));
    CHECK(build.operation(Operation::subtract, {height, ten}) !=
          build.operation(Operation::subtract, {ten, height}));
}

TEST_CASE("program: every part stands before what uses it") {
    const Program& program = shipped_shelf().data().program;
    std::vector<bool> node_seen(program.nodes.size(), false);
    std::vector<bool> expression_seen(program.expressions.size(), false);
    for (const ProgramStep& step : program.order) {
        if (step.is_node) {
            const TruthNode& node = program.nodes[step.index];
            if (node.kind == NodeKind::atom) {
                const Atom& atom = program.atoms[node.first];
                if (atom.kind == AtomKind::compare) {
                    CHECK(expression_seen[atom.left.value]);
                    CHECK(expression_seen[atom.right.value]);
                }
            } else {
                for (std::uint32_t i = 0; i < node.count; ++i) {
                    CHECK(node_seen[program.operands[node.first + i].value]);
                }
            }
            node_seen[step.index] = true;
            continue;
        }
        const Expression& expression = program.expressions[step.index];
        for (const ExpressionId operand : expression.operands) {
            CHECK(expression_seen[operand.value]);
        }
        for (const ExpressionPiece& piece : expression.pieces) {
            CHECK((!piece.where.valid() || node_seen[piece.where.value]));
            CHECK(expression_seen[piece.value.value]);
        }
        expression_seen[step.index] = true;
    }
    CHECK(std::count(node_seen.begin(), node_seen.end(), false) == 0);
    CHECK(std::count(expression_seen.begin(), expression_seen.end(), false) == 0);
}

TEST_CASE("program: one sentence in two packs is one node") {
    const std::string rule = "provisions:\n" + requires_tie_off("a", "height is more than 10 ft");
    const std::string same = "provisions:\n" + requires_tie_off("a", "height is more than 120 in");
    const Shelf shelf =
        shelf_of({small_vocabulary(), small_pack(rule, "t.one"), small_pack(same, "t.two")});
    const Program& program = shelf.data().program;
    REQUIRE(program.provisions.size() == 2);
    CHECK(program.provisions[0].condition == program.provisions[1].condition);
}
