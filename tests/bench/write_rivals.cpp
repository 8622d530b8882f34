// Writes the rules of a plan as C++ (see rivals.hpp).
//
//   write-rivals invented|shipped RULEPACKS OUTPUT
#include "invented.hpp"
#include "plain_rules.hpp"
#include "plans.hpp"

#include <algorithm>
#include <fstream>
#include <iostream>
#include <string>

namespace {

using namespace bench;

class Writer {
  public:
    explicit Writer(const PlainRules& rules)
        : rules_(rules),
          large_(rules.nodes.size() > most_in_one_function) {
        std::vector<std::uint32_t> roots;
        for (const PlainDuty& d : rules.duties) {
            roots.insert(roots.end(), {d.required, d.excepted, d.not_required, d.no_answer});
        }
        duty_uses_ = uses(roots);
        for (const PlainProvision& p : rules.provisions) {
            roots.insert(roots.end(), {p.stands, p.displaced});
        }
        all_uses_ = uses(roots);
    }

    std::string run(const std::string& name) {
        out_ = "// Generated: the " + name +
               " rules, written out.\n#include \"rivals.hpp\"\n\n#include <cstring>\n\n"
               "namespace bench {\nnamespace {\n\nusing Byte = std::uint8_t;\n\n";
        write_branchy();
        write_plain();
        out_ += "\n}  // namespace\n\nconst Rival " + name +
                "_rival{branchy, plain, plain_statuses, columns, columns_statuses, " +
                (rules_.provisions.empty() ? "false" : "true") +
                "};\n\n"
                "}  // namespace bench\n";
        return out_;
    }

  private:
    // Compilers take time that grows faster than a function: larger rules come in several.
    static constexpr std::size_t most_in_one_function = 2'000;
    static constexpr std::size_t nodes_in_part = 200;

    // Per node, of those that some root hangs on.
    [[nodiscard]] std::vector<std::size_t> uses(const std::vector<std::uint32_t>& roots) const {
        std::vector<std::size_t> uses(rules_.nodes.size(), 0);
        for (const std::uint32_t root : roots) {
            ++uses[root / 2];
        }
        for (std::size_t n = rules_.nodes.size(); n-- > 0;) {
            for (const std::uint32_t operand : rules_.nodes[n].operands) {
                uses[operand / 2] += uses[n] == 0 ? 0U : 1U;
            }
        }
        return uses;
    }

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
        return number(bits) + "ull";
    }

    // Short-circuit. What several parts need is kept once it is known.

    [[nodiscard]] bool kept(std::uint32_t n) const {
        return rules_.nodes[n].kind == PlainNode::Kind::all && duty_uses_[n] > 1;
    }

    [[nodiscard]] std::string call(std::uint32_t ref) const {
        const PlainNode& node = rules_.nodes[ref / 2];
        std::string text = node.kind == PlainNode::Kind::never  ? "no"
                           : node.kind == PlainNode::Kind::open ? "open"
                           : node.kind == PlainNode::Kind::all  ? "n" + number(ref / 2) + "(c)"
                                                                : test(node);
        return ref % 2 == 0 ? text : "opposite(" + text + ")";
    }

    [[nodiscard]] std::string test(const PlainNode& node) const {
        return "test(c.row[" + number(node.fact) + "], " + mask(node, true) +
               (node.unknown == 0 ? ", no)" : ", open)");
    }

    void write_branchy() {
        out_ +=
            "enum Truth : Byte { no, yes, open, unset };\n"
            "struct Case {\n    const Byte* row;\n    Truth kept[" +
            number(rules_.nodes.size()) +
            "];\n};\n"
            "inline Truth opposite(Truth t) { return t == open ? open : t == yes ? no : yes; }\n"
            "inline Truth test(unsigned value, std::uint64_t values, Truth unknown) {\n"
            "    if (value == 255) return unknown;\n    if (value == 254) return no;\n"
            "    return (values >> value) & 1 ? yes : no;\n}\n";
        std::size_t kept_ones = 0;
        for (std::uint32_t n = 0; n < rules_.nodes.size(); ++n) {
            if (rules_.nodes[n].kind != PlainNode::Kind::all || duty_uses_[n] == 0) {
                continue;
            }
            const std::string slot = "c.kept[" + number(kept_ones) + "]";
            out_ += (large_ ? "[[gnu::noinline]] Truth n" : "inline Truth n") + number(n) +
                    "(Case& c) {\n";
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
                "    std::memset(c.kept, unset, " +
                number(kept_ones) + ");\n";
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
        return variable(of ? "t" : "f", ref / 2);
    }

    [[nodiscard]] std::string variable(const std::string& name, std::uint32_t n) const {
        return large_ ? "v." + name + "[" + number(n) + "]" : name + number(n);
    }

    void write_node(std::uint32_t n) {
        const PlainNode& node = rules_.nodes[n];
        std::string yes;
        std::string no;
        if (node.kind == PlainNode::Kind::test) {
            const std::string shift = " >> (fact(" + number(node.fact) + ") & 63u)) & 1u)";
            yes = "static_cast<unsigned>((" + mask(node, true) + shift;
            no = "static_cast<unsigned>((" + mask(node, false) + shift;
        } else {
            for (const std::uint32_t operand : node.operands) {
                yes += (yes.empty() ? "" : " & ") + known(operand, true);
                no += (no.empty() ? "" : " | ") + known(operand, false);
            }
        }
        const std::string type = large_ ? "    " : "    const unsigned ";
        const std::string cast = large_ ? " = static_cast<Byte>(" : " = (";
        out_ += type + variable("t", n) + cast + yes + ");\n" + type + variable("f", n) + cast +
                no + ");\n";
    }

    [[nodiscard]] std::vector<std::uint32_t> nodes_to_write() const {
        std::vector<std::uint32_t> list;
        for (std::uint32_t n = 2; n < rules_.nodes.size(); ++n) {
            if (all_uses_[n] != 0) {
                list.push_back(n);
            }
        }
        return list;
    }

    void write_parts() {
        const std::vector<std::uint32_t> nodes = nodes_to_write();
        out_ += "struct Values {\n    Byte t[" + number(rules_.nodes.size()) + "];\n    Byte f[" +
                number(rules_.nodes.size()) + "];\n};\n";
        std::string calls;
        for (std::size_t at = 0; at < nodes.size(); at += nodes_in_part) {
            const std::string name = "part" + number(at / nodes_in_part);
            calls += "    " + name + "(fact, v);\n";
            out_ += "template <class Fact>\n[[gnu::noinline]] void " + name +
                    "(Fact fact, Values& v) {\n";
            for (std::size_t i = at; i < std::min(at + nodes_in_part, nodes.size()); ++i) {
                write_node(nodes[i]);
            }
            out_ += "    static_cast<void>(fact);\n}\n";
        }
        begin_body();
        out_ += "    Values v;\n" + calls;
    }

    void begin_body() {
        out_ += "template <bool statuses_too, class Fact>\n"
                "[[gnu::always_inline]] inline void body(Fact fact, Byte* outcomes, "
                "std::size_t stride, Byte* statuses) {\n";
    }

    void write_plain() {
        out_ += "struct Row {\n    const Byte* row;\n    unsigned operator()(unsigned f) const { "
                "return row[f]; }\n};\n";
        if (large_) {
            write_parts();
        } else {
            begin_body();
            for (const std::uint32_t n : nodes_to_write()) {
                write_node(n);
            }
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
        out_ += "    }\n}\n";
        write_calls();
    }

    // A row is read as it is; so are columns by the small rules, and large ones are brought into a
    // row first: their parts are compiled once.
    void write_calls() {
        const std::string row = "Row{row}";
        out_ += "void plain(const Byte* row, Byte* outcomes) {\n    body<false>(" + row +
                ", outcomes, 1, nullptr);\n}\n"
                "void plain_statuses(const Byte* row, Byte* outcomes, Byte* statuses) {\n"
                "    body<true>(" +
                row + ", outcomes, 1, statuses);\n}\n";
        for (const bool statuses : {false, true}) {
            const std::string to =
                statuses ? "statuses + i * " + number(rules_.provisions.size()) : "nullptr";
            out_ += std::string("void columns") + (statuses ? "_statuses" : "") +
                    "(const Byte* const* c, std::size_t cases, Byte* outcomes" +
                    (statuses ? ", Byte* statuses" : "") + ") {\n" +
                    (large_ ? "    Byte row[" + number(rules_.facts) + "];\n" : "") +
                    "    for (std::size_t i = 0; i < cases; ++i) {\n";
            if (large_) {
                out_ += "        for (unsigned f = 0; f < " + number(rules_.facts) +
                        "; ++f) row[f] = c[f][i];\n";
            }
            out_ += std::string("        body<") + (statuses ? "true" : "false") + ">(" +
                    (large_ ? "Row{row}" : "[c, i](unsigned f) { return unsigned{c[f][i]}; }") +
                    ", outcomes + i, cases, " + to + ");\n    }\n}\n";
        }
    }

    void write_plain_duty(std::size_t d) {
        const PlainDuty& duty = rules_.duties[d];
        out_ += "    {\n"
                "        const unsigned not_first = " +
                known(duty.required, false) +
                ";\n"
                "        const unsigned second = not_first & " +
                known(duty.excepted, true) +
                ";\n"
                "        const unsigned not_second = not_first & " +
                known(duty.excepted, false) + ";\n        const unsigned third = not_second & " +
                known(duty.not_required, true) + ";\n        const unsigned none = not_second & " +
                known(duty.not_required, false) +
                ";\n        const unsigned answer = " + known(duty.no_answer, false) +
                ";\n        const unsigned settled = (" + known(duty.required, true) +
                " | second | third | none) & answer;\n"
                "        outcomes[" +
                number(d) +
                " * stride] = static_cast<Byte>(((second | none) "
                "& answer) | " +
                known(duty.no_answer, true) +
                " | (((third | none) & answer) << 1) | ((1u ^ settled) << 2));\n    }\n";
    }

    const PlainRules& rules_;
    bool large_;
    std::vector<std::size_t> duty_uses_;
    std::vector<std::size_t> all_uses_;
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
        bench::plan_of(name == "invented" ? load(invent()) : shipped(words[2]),
                       name == "invented");  // statuses of thousands would take minutes to compile
    const PlainRules rules = plain_rules(plan);
    std::ofstream(words[3]) << Writer(rules).run(name);
    return 0;
}
