// The graph lowered to one flat, immutable program. Truth nodes, numeric expressions and tests
// stand in vectors; every operand stands before what uses it. Equal nodes are one node. Shared
// freely by threads.
#pragma once

#include "graph/behind.hpp"
#include "rulepack/model.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace toprail {

using NodeId = Id<struct NodeTag>;
using ExpressionId = Id<struct ExpressionTag>;
using AtomId = Id<struct AtomTag>;

/// never, always: constants. atom: a test on facts. all, any: over `count` operands. negate: of
/// one.
enum class NodeKind : std::uint8_t { never, always, atom, all, any, negate };

struct TruthNode {
    NodeKind kind = NodeKind::never;
    std::uint32_t first = 0;  // all, any, negate: into Program::operands; atom: AtomId
    std::uint32_t count = 0;
};

enum class AtomKind : std::uint8_t {
    member,     // a choice or yes-no fact has one of some values
    day,        // a date fact lies in [first_day, last_day]
    work_day,   // the deciding date does
    compare,    // left <verb> right
    named,      // the host named this authority
    any_named,  // the host named authorities at all
};

struct Atom {
    AtomKind kind = AtomKind::member;
    FactId fact;
    std::vector<bool> members;
    std::int32_t first_day = 0;
    std::int32_t last_day = 0;
    Verb verb = Verb::exactly;
    ExpressionId left;
    ExpressionId right;
    AuthorityId authority;
};

struct ExpressionPiece {
    NodeId where;  // invalid: always
    ExpressionId value;
};

/// A numeric expression in base units. `pieces` is used by quantities alone.
struct Expression {
    enum class Kind : std::uint8_t { figure, fact, operation, pieces };
    Kind kind = Kind::figure;
    Number figure;
    FactId fact;
    Operation operation = Operation::add;
    std::vector<ExpressionId> operands;
    std::vector<ExpressionPiece> pieces;
};

/// A condition tree with the node of each of its parts, so that reasons can be told from nodes.
struct LoweredTree {
    NodeId node;
    const ConditionTree* tree = nullptr;
    std::vector<LoweredTree> parts;
};

struct LoweredProvision {
    /// Weighed whether or not its own authority governs: what says who governs, and the remarks of
    /// a pack that says so of others.
    bool always_weighed = false;
    std::optional<LoweredTree> where;
    std::vector<LoweredTree> guards;
    NodeId edition;    // its edition is the one that counts
    NodeId in_force;   // edition and its own days
    NodeId condition;  // where and guards
    NodeId stands;     // in force and condition
    NodeId governed;   // its authority governs; always, when always weighed
    NodeId displaced;  // stands, and something live displaces it
    NodeId live;       // stands, governed, not displaced
};

struct LoweredDuty {
    NodeId required;                      // some authority requires it without a standing exception
    NodeId excepted;                      // some authority requires it with one
    NodeId not_required;                  // some authority says that it is not required
    NodeId contested;                     // one authority says both and neither displaces the other
    std::vector<ProvisionId> provisions;  // duty and exception provisions that bear on it
    NodeId terms_broken;  // an exception covers a demand and its terms are shown not to be met
    NodeId
        terms_unshown;  // an exception covers a demand and nothing can show that its terms are met
    std::optional<LoweredTree> met_by;
};

struct LoweredChoice {
    FactId choice;
    std::vector<NodeId> removed;  // per value
    NodeId empty;
    std::vector<ProvisionId> provisions;
};

struct LoweredLimit {
    Ref limited;
    std::vector<ProvisionId> provisions;
};

/// One step of the program: a truth node or an expression.
struct ProgramStep {
    bool is_node = true;
    std::uint32_t index = 0;
};

struct Program {
    std::vector<ProgramStep> order;  // every node and expression after all that it uses
    std::vector<TruthNode> nodes;
    std::vector<NodeId> operands;
    std::vector<Atom> atoms;
    std::vector<Expression> expressions;
    std::vector<LoweredTree> conditions;                   // per ConditionId
    std::vector<ExpressionId> quantities;                  // per QuantityId
    std::vector<SharedFacts> facts_behind;                 // per QuantityId
    std::vector<ExpressionId> facts;                       // per FactId; invalid unless measured
    std::vector<LoweredProvision> provisions;              // per ProvisionId
    std::vector<NodeId> governs;                           // per AuthorityId
    std::vector<ExpressionId> bounds;                      // per ProvisionId; limits only
    std::vector<std::optional<LoweredTree>> terms_met_by;  // per ProvisionId; exceptions only
    std::vector<LoweredDuty> duties;                       // per DutyId
    std::vector<LoweredTree> at_odds;                      // as in the model
    std::vector<LoweredChoice> choices;                    // by name
    std::vector<LoweredLimit> limits;                      // by name
    bool some_pack_governs = false;  // some provision says which authorities govern
};

/// Lowers a resolved model without circles. The program refers to the model's trees: the model must
/// outlive it and stay where it is.
Program lower(const Model& model, const DependencyGraph& graph);

}  // namespace toprail
