// The rules as nodes that point at each other, walked for each case: the plain way to write an
// evaluator.
#pragma once

#include "plain_rules.hpp"

#include <deque>

namespace bench {

class NodeWalk {
  public:
    explicit NodeWalk(const PlainRules& rules);
    void decide(const std::uint8_t* row, std::uint8_t* outcomes);

  private:
    enum class Truth : std::uint8_t { no, yes, open };
    struct Node {
        PlainNode::Kind kind = PlainNode::Kind::never;
        std::uint32_t fact = 0;
        std::vector<Truth> by_class;
        Truth unknown = Truth::open;
        struct Operand {
            Node* node = nullptr;
            bool negated = false;
        };
        std::vector<Operand> operands;
        std::uint64_t known_for = 0;  // the case for which `truth` was worked out
        Truth truth = Truth::open;
    };

    Truth walk(std::uint32_t ref);
    Truth walk(Node& node);
    static Truth opposite(Truth truth);

    std::deque<Node> nodes_;
    std::vector<PlainDuty> duties_;
    const std::uint8_t* row_ = nullptr;
    std::uint64_t case_ = 0;
};

}  // namespace bench
