// What the reference evaluator knows of a shelf: its own small model, read from the source trees
// with nothing but the readers of trees, sentences and formulas. A Model is immutable once read;
// facts, provisions and editions refer to each other by name alone.
#pragma once

#include "quantity/dimension.hpp"
#include "quantity/number.hpp"
#include "reading/sentence.hpp"
#include "toprail/date.hpp"
#include "toprail/shelf.hpp"

#include <compare>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <stdexcept>
#include <string>
#include <vector>

namespace oracle {

using toprail::Date;
using toprail::Number;

/// A text that the oracle cannot use: the generators never mean to write one.
struct Unusable : std::runtime_error {
    using std::runtime_error::runtime_error;
};

enum class Type { yes_no, choice, date, count, measured };

struct Fact {
    std::string name;
    Type type = Type::yes_no;
    std::vector<std::string> values;
    toprail::Dimension dimension;
    std::optional<Number> from;
    std::optional<Number> to;
    bool may_not_apply = false;
    bool plan = false;
};

/// An arithmetic expression in which quantities are still names.
struct Expression {
    enum class Kind { figure, name, add, subtract, multiply, divide, minimum, maximum, root };
    Kind kind = Kind::figure;
    Number figure;
    std::string name;
    std::vector<Expression> parts;
};

struct Condition {
    enum class Kind { sentence, all_of, any_of, none_of };
    Kind kind = Kind::sentence;
    std::vector<Condition> parts;
    // For sentences: the verb, the subject and what it is held against.
    toprail::Verb verb = toprail::Verb::holds;
    bool negated = false;
    std::string subject;
    std::vector<std::string> values;
    std::optional<Expression> bound;
    std::optional<Date> day;
};

/// Where names are looked up: a pack, or the vocabularies.
struct Scope {
    struct Piece {
        std::optional<Condition> where;
        Expression equals;
    };
    std::map<std::string, Condition> conditions;
    std::map<std::string, std::vector<Piece>> quantities;
    std::map<std::string, toprail::Dimension> kinds;
};

struct Period {
    std::optional<Date> from;
    std::optional<Date> until;
    std::string picked_by = "work-date";
};

/// Whose provision, and from which edition.
struct Which {
    std::string authority;
    std::string id;
    std::string edition;
    friend auto operator<=>(const Which&, const Which&) = default;
};

struct Edition;

struct Provision {
    enum class Effect { duty, exception, admits, bars, limit, remark, governs };
    std::string id;
    /// "authority/id"; so are the references to others below.
    std::string key;
    Which which;
    Effect effect = Effect::remark;
    /// Duty, choice, quantity or authority.
    std::string about;
    bool required = false;
    std::vector<std::string> values;
    std::vector<std::string> relaxes;
    std::vector<std::string> displaces;
    /// How the plan shows that the terms of an exception are met.
    std::optional<Condition> terms_met_by;
    bool at_most = true;
    std::optional<Expression> bound;
    std::optional<Period> in_force;
    /// All must be true: the own condition, and the one that the adoption adds.
    std::vector<std::pair<const Scope*, Condition>> where;
    const Scope* scope = nullptr;
    /// The edition in which it was written; an adopter holds a copy.
    const Edition* home = nullptr;
};

struct Edition {
    std::string authority;
    Period period;
    Scope scope;
    std::vector<Provision> provisions;

    /// Null when there is none of that id.
    [[nodiscard]] const Provision* find(const std::string& id) const;
};

struct Model {
    std::map<std::string, Fact> facts;
    std::vector<std::string> duties;
    /// How the plan shows that a duty is met.
    std::map<std::string, Condition> met_by;
    std::map<std::string, std::vector<std::string>> choices;
    Scope shared;
    /// The quantities that some limit bounds, and the scope in which they are read.
    std::map<std::string, const Scope*> limited;
    /// By authority, in the order of their first days.
    std::map<std::string, std::vector<std::unique_ptr<Edition>>> authorities;
    /// Every figure and day that any text mentions in a condition, a formula, a bound or a period.
    std::vector<std::pair<toprail::Dimension, Number>> figures;
    std::set<Date> days;
    /// Every comparison of numbers, with the scope it stands in.
    struct Comparison {
        const Scope* scope;
        std::string subject;
        Expression bound;
    };
    std::vector<Comparison> comparisons;
};

/// Reads vocabularies and rulepacks. Throws Unusable.
std::unique_ptr<Model> read_model(const std::vector<toprail::SourceText>& texts);

}  // namespace oracle
