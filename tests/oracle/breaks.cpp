// Entry points: breaks_of, facts_that_meet.
//
// Between two neighbouring kinks of its min and max every formula here is a quotient of polynomials
// in the one number that moves, so a comparison turns over only at a kink, at a root of the
// difference of its sides, or where something divides by zero.

#include "oracle/breaks.hpp"

#include <algorithm>

namespace oracle {

namespace {

using Kind = Expression::Kind;
using Polynomial = std::vector<Number>;  // coefficients, constant first

struct Quotient {
    Polynomial over;
    Polynomial under;
};

Polynomial add(const Polynomial& a, const Polynomial& b, int sign) {
    Polynomial sum(std::max(a.size(), b.size()));
    for (std::size_t i = 0; i < sum.size(); ++i) {
        sum[i] = (i < a.size() ? a[i] : Number(0)) + sign * (i < b.size() ? b[i] : Number(0));
    }
    return sum;
}

Polynomial multiply(const Polynomial& a, const Polynomial& b) {
    Polynomial product(a.size() + b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        for (std::size_t j = 0; j < b.size(); ++j) {
            product[i + j] += a[i] * b[j];
        }
    }
    return product;
}

Quotient subtract(const Quotient& a, const Quotient& b) {
    return {add(multiply(a.over, b.under), multiply(b.over, a.under), -1),
            multiply(a.under, b.under)};
}

void add_roots(Polynomial polynomial, std::set<Number>& breaks) {
    while (!polynomial.empty() && polynomial.back() == 0) {
        polynomial.pop_back();
    }
    while (!polynomial.empty() && polynomial.front() == 0) {
        polynomial.erase(polynomial.begin());
        breaks.insert(Number(0));
    }
    if (polynomial.size() == 2) {
        breaks.insert(-polynomial[0] / polynomial[1]);
    } else if (polynomial.size() == 3) {
        const Number inside = polynomial[1] * polynomial[1] - 4 * polynomial[0] * polynomial[2];
        if (inside < 0) {
            return;
        }
        const auto root = toprail::square_root(inside);
        if (root.low != root.high) {
            throw Unusable("a break that is no rational number");
        }
        breaks.insert((-polynomial[1] + root.low) / (2 * polynomial[2]));
        breaks.insert((-polynomial[1] - root.low) / (2 * polynomial[2]));
    } else if (polynomial.size() > 3) {
        throw Unusable("a formula of the third degree");
    }
}

/// The expression with every quantity replaced by each of its pieces in turn.
std::vector<Expression> spell_out(const Model& model, const Scope& scope,
                                  const Expression& expression) {
    if (expression.kind == Kind::name) {
        const auto* pieces = pieces_of(model, scope, expression.name);
        if (pieces == nullptr) {
            return {expression};
        }
        std::vector<Expression> ways;
        for (const auto& piece : *pieces) {
            const auto more = spell_out(model, scope, piece.equals);
            ways.insert(ways.end(), more.begin(), more.end());
        }
        return ways;
    }
    std::vector<Expression> ways{expression};
    for (std::size_t part = 0; part < expression.parts.size(); ++part) {
        std::vector<Expression> wider;
        for (const Expression& replacement : spell_out(model, scope, expression.parts[part])) {
            for (Expression way : ways) {
                way.parts[part] = replacement;
                wider.push_back(std::move(way));
            }
        }
        ways = std::move(wider);
    }
    return ways;
}

void add_names(const Expression& expression, std::set<std::string>& names) {
    if (expression.kind == Kind::name) {
        names.insert(expression.name);
    }
    for (const Expression& part : expression.parts) {
        add_names(part, names);
    }
}

class Search {
  public:
    Search(const std::string& fact, const Filling& known) : fact_(fact), known_(known) {}

    void compare(Expression left, Expression right);
    std::set<Number> breaks;

  private:
    Quotient form(const Expression& expression, const Number& sample);
    static Number at(const Polynomial& polynomial, const Number& point);
    /// One point in each gap between the breaks found so far.
    [[nodiscard]] std::vector<Number> samples() const;
    void visit(const Expression& expression);
    void add_crossings(const Expression& left, const Expression& right);

    const std::string& fact_;
    const Filling& known_;
};

Number Search::at(const Polynomial& polynomial, const Number& point) {
    Number sum = 0;
    for (std::size_t i = polynomial.size(); i-- > 0;) {
        sum = sum * point + polynomial[i];
    }
    return sum;
}

std::vector<Number> Search::samples() const {
    if (breaks.empty()) {
        return {Number(1) / 3};
    }
    std::vector<Number> points{*breaks.begin() - 1};
    for (auto next = std::next(breaks.begin()); next != breaks.end(); ++next) {
        points.push_back((*std::prev(next) + *next) / 2);
    }
    points.push_back(*breaks.rbegin() + 1);
    return points;
}

Quotient Search::form(const Expression& expression, const Number& sample) {
    if (expression.kind == Kind::figure) {
        return {{expression.figure}, {1}};
    }
    if (expression.kind == Kind::name) {
        return expression.name == fact_
                   ? Quotient{{0, 1}, {1}}
                   : Quotient{{known_.of(expression.name).number.value()}, {1}};
    }
    const Quotient a = form(expression.parts.at(0), sample);
    if (expression.kind == Kind::root) {
        throw Unusable("a root inside a formula");
    }
    const Quotient b = form(expression.parts.at(1), sample);
    switch (expression.kind) {
    case Kind::add:
        return {add(multiply(a.over, b.under), multiply(b.over, a.under), 1),
                multiply(a.under, b.under)};
    case Kind::subtract:
        return subtract(a, b);
    case Kind::multiply:
        return {multiply(a.over, b.over), multiply(a.under, b.under)};
    case Kind::divide:
        return {multiply(a.over, b.under), multiply(a.under, b.over)};
    default: {
        const Quotient difference = subtract(a, b);
        const Number over = at(difference.over, sample);
        const bool a_smaller = (over < 0) != (at(difference.under, sample) < 0);
        return a_smaller == (expression.kind == Kind::minimum) ? a : b;
    }
    }
}

void Search::add_crossings(const Expression& left, const Expression& right) {
    for (const Number& sample : samples()) {
        const Quotient difference = subtract(form(left, sample), form(right, sample));
        add_roots(difference.over, breaks);
        add_roots(difference.under, breaks);
    }
}

void Search::visit(const Expression& expression) {
    for (const Expression& part : expression.parts) {
        visit(part);
    }
    if (expression.kind == Kind::minimum || expression.kind == Kind::maximum) {
        add_crossings(expression.parts.at(0), expression.parts.at(1));
    } else if (expression.kind == Kind::divide) {
        add_crossings(expression.parts.at(1), Expression{});
    } else if (expression.kind == Kind::root) {
        add_crossings(expression.parts.at(0), Expression{});
    }
}

void Search::compare(Expression left, Expression right) {
    visit(left);
    visit(right);
    // A root is held against the other side by squaring that one.
    if (left.kind == Kind::root && right.kind == Kind::root) {
        left = Expression(left.parts.at(0));
        right = Expression(right.parts.at(0));
    } else if (left.kind == Kind::root || right.kind == Kind::root) {
        Expression& root = left.kind == Kind::root ? left : right;
        Expression& other = left.kind == Kind::root ? right : left;
        root = Expression(root.parts.at(0));
        other = Expression{Kind::multiply, 0, {}, {other, other}};
    }
    add_crossings(left, right);
}

}  // namespace

std::set<Number> breaks_of(const Model& model, const std::string& fact, const Filling& known) {
    std::set<Number> breaks;
    for (const auto& comparison : model.comparisons) {
        const Expression subject{Kind::name, 0, comparison.subject, {}};
        for (const Expression& left : spell_out(model, *comparison.scope, subject)) {
            for (const Expression& right : spell_out(model, *comparison.scope, comparison.bound)) {
                std::set<std::string> names;
                add_names(left, names);
                add_names(right, names);
                const bool usable =
                    names.erase(fact) != 0 &&
                    std::all_of(names.begin(), names.end(), [&](const std::string& name) {
                        const auto value = known.facts.find(name);
                        return value != known.facts.end() && value->second->number;
                    });
                if (usable) {
                    Search search(fact, known);
                    search.compare(left, right);
                    breaks.insert(search.breaks.begin(), search.breaks.end());
                }
            }
        }
    }
    return breaks;
}

std::vector<std::set<std::string>> facts_that_meet(const Model& model) {
    std::vector<std::set<std::string>> groups;
    for (const auto& comparison : model.comparisons) {
        std::set<std::string> names;
        for (const Expression& side :
             {Expression{Kind::name, 0, comparison.subject, {}}, comparison.bound}) {
            for (const Expression& way : spell_out(model, *comparison.scope, side)) {
                add_names(way, names);
            }
        }
        groups.push_back(std::move(names));
    }
    return groups;
}

}  // namespace oracle
