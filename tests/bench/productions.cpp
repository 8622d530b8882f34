// Entry point: Productions.
#include "productions.hpp"

#include <stdexcept>
#include <string>

extern "C" {
#include <clips/clips.h>
}

namespace bench {

// "yN" stands for: node N is known to be true; "nN": known to be false.
struct Productions::Data {
    void* clips = nullptr;
    std::vector<std::uint32_t> facts;   // those that some rule asks for
    std::vector<void*> fact_templates;  // of those
    PlainDuty duty;

    [[nodiscard]] static std::string pattern(std::uint32_t ref, bool truth) {
        return ((ref % 2 == 0) == truth ? "y" : "n") + std::to_string(ref / 2);
    }

    void build(const std::string& rule) const {
        if (EnvBuild(clips, rule.c_str()) == 0) {
            throw std::runtime_error("CLIPS takes no " + rule);
        }
    }

    [[nodiscard]] bool concluded(std::uint32_t ref, bool truth) const {
        if (ref < 2) {
            return (ref == 0) != truth;
        }
        void* const of = EnvFindDeftemplate(clips, pattern(ref, truth).c_str());
        return of != nullptr && EnvGetNextFactInTemplate(clips, of, nullptr) != nullptr;
    }
};

namespace {

std::string classes_of(const PlainNode& node, bool truth) {
    std::string list;
    for (std::size_t c = 0; c < node.truths.size(); ++c) {
        if (node.truths[c] == truth) {
            list += (list.empty() ? "" : "|") + std::to_string(c);
        }
    }
    // "Does not apply" is false; "not known" says nothing, but where that counts as false.
    return truth ? list
                 : list + (list.empty() ? "254" : "|254") + (node.unknown == 0 ? "|255" : "");
}

}  // namespace

Productions::Productions(const PlainRules& rules) : data_(std::make_unique<Data>()) {
    data_->clips = CreateEnvironment();
    data_->duty = rules.duties.front();
    std::vector<bool> wanted(rules.nodes.size(), false);
    for (const std::uint32_t ref : {data_->duty.required, data_->duty.excepted,
                                    data_->duty.not_required, data_->duty.no_answer}) {
        wanted[ref / 2] = true;
    }
    std::vector<bool> asked(rules.facts, false);
    for (std::size_t n = rules.nodes.size(); n-- > 0;) {
        for (const std::uint32_t operand : rules.nodes[n].operands) {
            wanted[operand / 2] = wanted[operand / 2] || wanted[n];
        }
        if (wanted[n] && rules.nodes[n].kind == PlainNode::Kind::test) {
            asked[rules.nodes[n].fact] = true;
        }
    }
    for (std::uint32_t n = 2; n < rules.nodes.size(); ++n) {
        const PlainNode& node = rules.nodes[n];
        const std::string name = std::to_string(n);
        if (!wanted[n]) {
            continue;
        }
        if (node.kind == PlainNode::Kind::test) {
            for (const bool truth : {true, false}) {
                const std::string classes = classes_of(node, truth);
                const std::string which = (truth ? "y" : "n") + name;
                if (!classes.empty()) {
                    data_->build("(defrule " + which + " (f" + std::to_string(node.fact) + " " +
                                 classes + ") => (assert (" + which + ")))");
                }
            }
            continue;
        }
        std::string all;
        std::size_t way = 0;
        for (const std::uint32_t operand : node.operands) {
            all += " (" + Data::pattern(operand, true) + ")";
            data_->build("(defrule n" + name + "-" + std::to_string(way++) + " (" +
                         Data::pattern(operand, false) + ") => (assert (n" + name + ")))");
        }
        data_->build("(defrule y" + name + all + " => (assert (y" + name + ")))");
    }
    EnvReset(data_->clips);
    for (std::uint32_t f = 0; f < rules.facts; ++f) {
        if (asked[f]) {
            data_->facts.push_back(f);
            data_->fact_templates.push_back(
                EnvFindDeftemplate(data_->clips, ("f" + std::to_string(f)).c_str()));
        }
    }
}

Productions::~Productions() {
    DestroyEnvironment(data_->clips);
}

void Productions::reset() {
    EnvReset(data_->clips);
}

void Productions::run(const std::uint8_t* row) {
    for (std::size_t i = 0; i < data_->facts.size(); ++i) {
        void* const fact = EnvCreateFact(data_->clips, data_->fact_templates[i]);
        void* const fields = EnvCreateMultifield(data_->clips, 1);
        SetMFType(fields, 1, INTEGER);
        SetMFValue(fields, 1, EnvAddLong(data_->clips, row[data_->facts[i]]));
        DATA_OBJECT value;
        value.type = MULTIFIELD;
        value.value = fields;
        SetDOBegin(value, 1);
        SetDOEnd(value, 1);
        EnvPutFactSlot(data_->clips, fact, nullptr, &value);
        EnvAssert(data_->clips, fact);
    }
    EnvRun(data_->clips, -1);
}

std::uint8_t Productions::outcome() const {
    const PlainDuty& duty = data_->duty;
    if (!data_->concluded(duty.no_answer, false)) {
        return data_->concluded(duty.no_answer, true) ? 5 : 4;
    }
    std::uint8_t rank = 0;
    for (const std::uint32_t ref : {duty.required, duty.excepted, duty.not_required}) {
        if (!data_->concluded(ref, false)) {
            return data_->concluded(ref, true) ? rank : 4;
        }
        ++rank;
    }
    return 3;
}

}  // namespace bench
