// Writes the rules of a plan as C++ (see rivals.hpp).
//
//   write-rivals invented|shipped RULEPACKS OUTPUT
#include "invented.hpp"
#include "plain_rules.hpp"
#include "plans.hpp"

#include <fstream>
#include <iostream>
#include <string>

namespace {

using namespace bench;

class Writer {
  public:
    explicit Writer(const PlainRules& rules)
        : rules_(rules),
          uses_(rules.nodes.size(), 0) {
        for (const PlainDuty& d : rules.duties) {
            for (const std::uint32_t ref : {d.required, d.excepted, d.not_required, d.no_answer}) {
                ++uses_[ref / 2];
            }
        }
        for (const PlainProvision& p : rules.provisions) {
            ++uses_[p.stands / 2];
            ++uses_[p.displaced / 2];
        }
        for (std::size_t n = rules.nodes.size(); n-- > 0;) {
            for (const std::uint32_t operand : rules.nodes[n].operands) {
                uses_[operand / 2] += uses_[n] == 0 ? 0U : 1U;
            }
        }
    }

    std::string run(const std::string& name) {
        out_ = "// Generated: the " + name +
               " rules, written out.\n#include \"rivals.hpp\"\n\n#include <cstring>\n\n"
               "namespace bench {\nnamespace {\n\nusing Byte = std::uint8_t;\n\n";
        write_branchy();
        write_plain();
        out_ += "\n}  // namespace\n\nconst Rival " + name +
                "_rival{branchy, plain, plain_statuses, columns, columns_statuses};\n\n"
                "}  // namespace bench\n";
        return out_;
    }

  private:
    static std::string number(std::uint64_t n) { return std::to_string(n); }

    // Bits 62 and 63 stand for "does not apply" and "not known", which 254 and 255 come to.
    [[nodiscard]] std::string mask(const PlainNode& node, bool of) const {
        std::uint64_t bits = 0;
        for (std::size_t c = 0; c < node.truths.size(); ++c) {
            if (c > 61) {
                std::cerr << "write-rivals: a fact has more classes than a word has bits\n";
                std::exit(2);
            }
            bits |= std::uint64_t{node.truths[c] == of} << c;
        }
        bits |= std::uint64_t{!of} << 62;
        bits |= std::uint64_t{node.unknown == (of ? 1 : 0)} << 63;
        return number(bits) + "u";
    }

    // Short-circuit. What several parts need is kept once it is known.

    [[nodiscard]] bool kept(std::uint32_t n) const {
        return rules_.nodes[n].kind == PlainNode::Kind::all && uses_[n] > 1;
    }

    [[nodiscard]] std::string call(std::uint32_t ref) const {
        const PlainNode& node = rules_.nodes[ref / 2];
        std::string text = node.kind == PlainNode::Kind::never  ? "no"
                           : node.kind == PlainNode::Kind::open ? "open"
                           : node.kind == PlainNode::Kind::all ? "n" + number(ref / 2) + "(c)"
                                                               : test(node);
        return ref % 2 == 0 ? text : "opposite(" + text + ")";
    }

    [[nodiscard]] std::string test(const PlainNode& node) const {
        return "test(c.row[" + number(node.fact) + "], " + mask(node, true) +
               (node.unknown == 0 ? ", no)" : ", open)");
    }

    void write_branchy() {
        out_ += "enum Truth : Byte { no, yes, open, unset };\n"
                "struct Case {\n    const Byte* row;\n    Truth kept[" +
                number(rules_.nodes.size()) +
                "];\n};\n"
                "inline Truth opposite(Truth t) { return t == open ? open : t == yes ? no : yes; }\n"
                "inline Truth test(unsigned value, std::uint64_t values, Truth unknown) {\n"
                "    if (value == 255) return unknown;\n    if (value == 254) return no;\n"
                "    return (values >> value) & 1 ? yes : no;\n}\n";
        std::size_t kept_ones = 0;
        for (std::uint32_t n = 0; n < rules_.nodes.size(); ++n) {
            if (rules_.nodes[n].kind != PlainNode::Kind::all || uses_[n] == 0) {
                continue;
            }
            const std::string slot = "c.kept[" + number(kept_ones) + "]";
            out_ += "inline Truth n" + number(n) + "(Case& c) {\n";
            if (kept(n)) {
                out_ += "    if (" + slot + " != unset) return " + slot + ";\n";
                ++kept_ones;
            }
            out_ += "    Truth all = yes;\n";
            for (const std::uint32_t operand : rules_.nodes[n].operands) {
                out_ += "    switch (" + call(operand) + ") {\n    case no: return " +
                        (kept(n) ? slot + " = " : "") + "no;\n" +
                        "    case open: all = open; break;\n    default: break;\n    }\n";
            }
            out_ += "    return " + (kept(n) ? slot + " = " : "") + "all;\n}\n";
        }
        out_ += "void branchy(const Byte* row, Byte* outcomes) {\n    Case c;\n    c.row = row;\n"
                "    std::memset(c.kept, unset, " + number(kept_ones) + ");\n";
        for (std::size_t d = 0; d < rules_.duties.size(); ++d) {
            const PlainDuty& duty = rules_.duties[d];
            const std::string to = "outcomes[" + number(d) + "] = ";
            out_ += "    do {\n        Truth t = " + call(duty.no_answer) +
                    ";\n        if (t != no) { " + to + "t == yes ? 5 : 4; break; }\n";
            std::size_t rank = 0;
            for (const std::uint32_t ref : {duty.required, duty.excepted, duty.not_required}) {
                out_ += "        t = " + call(ref) + ";\n        if (t != no) { " + to +
                        "t == yes ? " + number(rank++) + " : 4; break; }\n";
            }
            out_ += "        " + to + "3;\n    } while (false);\n";
        }
        out_ += "}\n";
    }

    // Without branches: known true and known false of each part.

    [[nodiscard]] std::string known(std::uint32_t ref, bool truth) const {
        const PlainNode& node = rules_.nodes[ref / 2];
        const bool of = (ref % 2 == 0) == truth;
        if (node.kind == PlainNode::Kind::never || node.kind == PlainNode::Kind::open) {
            return node.kind == PlainNode::Kind::never && !of ? "1u" : "0u";
        }
        return (of ? "t" : "f") + number(ref / 2);
    }

    void write_plain() {
        out_ += "template <bool statuses_too, class Fact>\n"
                "[[gnu::always_inline]] inline void body(Fact fact, Byte* outcomes, "
                "std::size_t stride, Byte* statuses) {\n";
        for (std::uint32_t n = 0; n < rules_.nodes.size(); ++n) {
            const PlainNode& node = rules_.nodes[n];
            if (uses_[n] == 0 || node.kind == PlainNode::Kind::never ||
                node.kind == PlainNode::Kind::open) {
                continue;
            }
            std::string yes;
            std::string no;
            if (node.kind == PlainNode::Kind::test) {
                const std::string shift = " >> (fact(" + number(node.fact) + ") & 63u)) & 1u";
                yes = "static_cast<unsigned>(" + mask(node, true) + shift;
                no = "static_cast<unsigned>(" + mask(node, false) + shift;
            } else {
                for (const std::uint32_t operand : node.operands) {
                    yes += (yes.empty() ? "" : " & ") + known(operand, true);
                    no += (no.empty() ? "" : " | ") + known(operand, false);
                }
            }
            out_ += "    const unsigned t" + number(n) + " = " + yes + ";\n    const unsigned f" +
                    number(n) + " = " + no + ";\n";
        }
        for (std::size_t d = 0; d < rules_.duties.size(); ++d) {
            write_plain_duty(d);
        }
        out_ += "    if constexpr (statuses_too) {\n";
        for (std::size_t p = 0; p < rules_.provisions.size(); ++p) {
            const PlainProvision& each = rules_.provisions[p];
            const std::string falls = known(each.stands, false);
            out_ += "        statuses[" + number(p) + "] = static_cast<Byte>((" + falls + " | " +
                    known(each.displaced, true) + ") | ((1u ^ (" + falls + " | (" +
                    known(each.stands, true) + " & " + known(each.displaced, false) +
                    "))) << 1));\n";
        }
        out_ += "    }\n}\n"
                "void plain(const Byte* row, Byte* outcomes) {\n"
                "    body<false>([row](unsigned f) { return unsigned{row[f]}; }, outcomes, 1, "
                "nullptr);\n}\n"
                "void plain_statuses(const Byte* row, Byte* outcomes, Byte* statuses) {\n"
                "    body<true>([row](unsigned f) { return unsigned{row[f]}; }, outcomes, 1, "
                "statuses);\n}\n"
                "void columns(const Byte* const* c, std::size_t cases, Byte* outcomes) {\n"
                "    for (std::size_t i = 0; i < cases; ++i) {\n"
                "        body<false>([c, i](unsigned f) { return unsigned{c[f][i]}; }, outcomes + "
                "i, cases, nullptr);\n    }\n}\n"
                "void columns_statuses(const Byte* const* c, std::size_t cases, Byte* outcomes, "
                "Byte* statuses) {\n"
                "    for (std::size_t i = 0; i < cases; ++i) {\n"
                "        body<true>([c, i](unsigned f) { return unsigned{c[f][i]}; }, outcomes + i, "
                "cases, statuses + i * " + number(rules_.provisions.size()) + ");\n    }\n}\n";
    }

    void write_plain_duty(std::size_t d) {
        const PlainDuty& duty = rules_.duties[d];
        out_ += "    {\n"
                "        const unsigned not_first = " + known(duty.required, false) + ";\n"
                "        const unsigned second = not_first & " + known(duty.excepted, true) + ";\n"
                "        const unsigned not_second = not_first & " + known(duty.excepted, false) +
                ";\n        const unsigned third = not_second & " + known(duty.not_required, true) +
                ";\n        const unsigned none = not_second & " + known(duty.not_required, false) +
                ";\n        const unsigned answer = " + known(duty.no_answer, false) +
                ";\n        const unsigned settled = (" + known(duty.required, true) +
                " | second | third | none) & answer;\n"
                "        outcomes[" + number(d) + " * stride] = static_cast<Byte>(((second | none) "
                "& answer) | " + known(duty.no_answer, true) +
                " | (((third | none) & answer) << 1) | ((1u ^ settled) << 2));\n    }\n";
    }

    const PlainRules& rules_;
    std::vector<std::size_t> uses_;  // per node, of those that something hangs on
    std::string out_;
};

}  // namespace

int main(int count, char** words) {
    if (count != 4) {
        std::cerr << "usage: write-rivals invented|shipped RULEPACKS OUTPUT\n";
        return 2;
    }
    const std::string name = words[1];
    const toprail::BulkPlan plan =
        bench::plan_of(name == "invented" ? load(invent()) : shipped(words[2]), true);
    const PlainRules rules = plain_rules(plan);
    std::ofstream(words[3]) << Writer(rules).run(name);
    return 0;
}
