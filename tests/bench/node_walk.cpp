// Entry point: NodeWalk.
#include "node_walk.hpp"

namespace bench {

NodeWalk::NodeWalk(const PlainRules& rules) : duties_(rules.duties) {
    for (const PlainNode& plain : rules.nodes) {
        Node& node = nodes_.emplace_back();
        node.kind = plain.kind;
        node.fact = plain.fact;
        node.unknown = static_cast<Truth>(plain.unknown);
        for (const bool truth : plain.truths) {
            node.by_class.push_back(truth ? Truth::yes : Truth::no);
        }
        for (const std::uint32_t operand : plain.operands) {
            node.operands.push_back({&nodes_[operand / 2], operand % 2 != 0});
        }
    }
}

void NodeWalk::decide(const std::uint8_t* row, std::uint8_t* outcomes) {
    row_ = row;
    ++case_;
    for (std::size_t d = 0; d < duties_.size(); ++d) {
        const PlainDuty& duty = duties_[d];
        const Truth none = walk(duty.no_answer);
        if (none != Truth::no) {
            outcomes[d] = none == Truth::yes ? 5 : 4;
            continue;
        }
        outcomes[d] = 3;
        std::uint8_t rank = 0;
        for (const std::uint32_t ref : {duty.required, duty.excepted, duty.not_required}) {
            const Truth truth = walk(ref);
            if (truth != Truth::no) {
                outcomes[d] = truth == Truth::yes ? rank : 4;
                break;
            }
            ++rank;
        }
    }
}

NodeWalk::Truth NodeWalk::opposite(Truth truth) {
    return truth == Truth::open ? truth : truth == Truth::yes ? Truth::no : Truth::yes;
}

NodeWalk::Truth NodeWalk::walk(std::uint32_t ref) {
    const Truth truth = walk(nodes_[ref / 2]);
    return ref % 2 != 0 ? opposite(truth) : truth;
}

NodeWalk::Truth NodeWalk::walk(Node& node) {
    switch (node.kind) {
    case PlainNode::Kind::never:
        return Truth::no;
    case PlainNode::Kind::open:
        return Truth::open;
    case PlainNode::Kind::test: {
        const std::uint8_t byte = row_[node.fact];
        return byte == 255 ? node.unknown : byte == 254 ? Truth::no : node.by_class[byte];
    }
    case PlainNode::Kind::all:
        break;
    }
    if (node.known_for == case_) {
        return node.truth;
    }
    node.known_for = case_;
    node.truth = Truth::yes;
    for (const Node::Operand& operand : node.operands) {
        Truth truth = walk(*operand.node);
        truth = operand.negated ? opposite(truth) : truth;
        if (truth == Truth::no) {
            return node.truth = Truth::no;
        }
        if (truth == Truth::open) {
            node.truth = Truth::open;
        }
    }
    return node.truth;
}

}  // namespace bench
