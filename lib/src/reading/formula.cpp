// Entry point: read_formula. Precedence climbing over the characters of one text.
#include "reading/formula.hpp"

#include "reading/sentence.hpp"

#include <algorithm>
#include <utility>

namespace toprail {
namespace {

constexpr std::size_t most_terms = 200;
constexpr unsigned deepest = 32;

// Thrown at the first slip; the finding is already reported.
struct Slip {};

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}
bool is_letter(char c) {
    return c >= 'a' && c <= 'z';
}

class Reader {
  public:
    Reader(const Node& node, Findings& findings)
        : node_(node),
          text_(node.text),
          findings_(findings) {}

    Formula read() {
        sum(0);
        skip();
        if (at_ < text_.size()) {
            slip(at_, 1, "this is not understood in a formula");
        }
        formula_.text = text_;
        return std::move(formula_);
    }

  private:
    [[noreturn]] void slip(std::size_t from, std::size_t size, std::string message) {
        findings_.add(Kind::bad_formula, span(from, size), std::move(message)).help =
            "formulas hold names, figures with units, + - * /, brackets, min(a, b), max(a, b) and "
            "sqrt(a); "
            "spaces stand around -";
        throw Slip{};
    }

    [[nodiscard]] Span span(std::size_t from, std::size_t size) const {
        return node_.span.part(from + (node_.quoted ? 1 : 0), std::max<std::size_t>(size, 1));
    }

    void skip() {
        while (at_ < text_.size() && text_[at_] == ' ') {
            ++at_;
        }
    }

    bool take(char c) {
        skip();
        if (at_ < text_.size() && text_[at_] == c) {
            ++at_;
            return true;
        }
        return false;
    }

    void expect(char c) {
        if (!take(c)) {
            slip(at_, 1, std::string("\"") + c + "\" is expected here");
        }
    }

    std::size_t push(Term term) {
        if (formula_.terms.size() >= most_terms) {
            slip(0, text_.size(),
                 "the formula has more than " + std::to_string(most_terms) + " parts");
        }
        formula_.terms.push_back(std::move(term));
        return formula_.terms.size() - 1;
    }

    std::size_t combine(Operation operation, std::vector<std::size_t> parts, std::size_t from) {
        return push({operation, {}, {}, std::move(parts), span(from, at_ - from)});
    }

    std::size_t sum(unsigned depth) {
        skip();
        const std::size_t from = at_;
        std::size_t left = product(depth);
        while (true) {
            if (take('+')) {
                const std::size_t right = product(depth);
                left = combine(Operation::add, {left, right}, from);
            } else if (take('-')) {
                const std::size_t right = product(depth);
                left = combine(Operation::subtract, {left, right}, from);
            } else {
                return left;
            }
        }
    }

    std::size_t product(unsigned depth) {
        skip();
        const std::size_t from = at_;
        std::size_t left = part(depth);
        while (true) {
            if (take('*')) {
                const std::size_t right = part(depth);
                left = combine(Operation::multiply, {left, right}, from);
            } else if (take('/')) {
                const std::size_t right = part(depth);
                left = combine(Operation::divide, {left, right}, from);
            } else {
                return left;
            }
        }
    }

    std::size_t part(unsigned depth) {
        if (depth >= deepest) {
            slip(at_, 1, "brackets are nested too deeply");
        }
        skip();
        const std::size_t from = at_;
        if (take('(')) {
            const std::size_t inner = sum(depth + 1);
            expect(')');
            return inner;
        }
        if (at_ < text_.size() && (is_digit(text_[at_]) || text_[at_] == '.')) {
            return figure();
        }
        const std::string name = word();
        if (name.empty()) {
            slip(from, 1, "a name, a figure or a bracket is expected here");
        }
        if (text_.substr(at_, 1) == "(") {
            return call(name, from, depth);
        }
        if (!is_name(name)) {
            slip(from, name.size(), "\"" + name + "\" is not a name");
        }
        return push({Operation::name, {}, name, {}, span(from, name.size())});
    }

    // A name ends at the first character that no name has; a hyphen counts only between letters or
    // digits.
    std::string word() {
        const std::size_t from = at_;
        while (at_ < text_.size() && (is_letter(text_[at_]) || is_digit(text_[at_]) ||
                                      (text_[at_] == '-' && at_ > from))) {
            ++at_;
        }
        return text_.substr(from, at_ - from);
    }

    std::size_t figure() {
        const std::size_t from = at_;
        while (at_ < text_.size() && (is_digit(text_[at_]) || text_[at_] == '.')) {
            ++at_;
        }
        const std::string digits = text_.substr(from, at_ - from);
        std::size_t unit_from = at_;
        while (unit_from < text_.size() && text_[unit_from] == ' ') {
            ++unit_from;
        }
        const std::size_t unit_to =
            unit_from + leading_unit(std::string_view(text_).substr(unit_from));
        std::string figure_text = digits;
        const std::string unit = text_.substr(unit_from, unit_to - unit_from);
        if (!unit.empty()) {
            figure_text += " " + unit;
            at_ = unit_to;
        }
        FigureReading reading = read_figure(figure_text);
        if (!reading.figure) {
            slip(from, at_ - from, "this figure is not understood");
        }
        return push(
            {Operation::figure, std::move(*reading.figure), {}, {}, span(from, at_ - from)});
    }

    std::size_t call(const std::string& name, std::size_t from, unsigned depth) {
        expect('(');
        std::vector<std::size_t> parts{sum(depth + 1)};
        while (take(',')) {
            parts.push_back(sum(depth + 1));
        }
        expect(')');
        if (name == "sqrt" && parts.size() == 1) {
            return combine(Operation::root, std::move(parts), from);
        }
        if ((name == "min" || name == "max") && parts.size() >= 2) {
            return combine(name == "min" ? Operation::minimum : Operation::maximum,
                           std::move(parts), from);
        }
        slip(from, at_ - from, "this is neither sqrt(a) nor min(a, b) nor max(a, b)");
    }

    const Node& node_;
    const std::string& text_;
    Findings& findings_;
    std::size_t at_ = 0;
    Formula formula_;
};

}  // namespace

std::optional<Formula> read_formula(const Node& node, Findings& findings) {
    if (!node.is_text() || node.text.empty()) {
        findings.add(Kind::bad_formula, node.span, "a formula is expected here");
        return std::nullopt;
    }
    try {
        return Reader(node, findings).read();
    } catch (const Slip&) {
        return std::nullopt;
    }
}

}  // namespace toprail
