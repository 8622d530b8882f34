// Entry point: Circuit.
#include "bulk/circuit.hpp"

#include <algorithm>

namespace toprail::bulk {

Circuit::Circuit() {
    gates_.resize(2);  // never and open
}

Literal Circuit::leaf(std::uint32_t fact, std::uint8_t which) {
    const auto [found, fresh] =
        leaves_.try_emplace({fact, which}, static_cast<Literal>(2 * gates_.size()));
    if (fresh) {
        gates_.push_back({Gate::Kind::leaf, which, fact, {}});
    }
    return found->second;
}

Literal Circuit::all(std::vector<Literal> operands) {
    std::sort(operands.begin(), operands.end());
    operands.erase(std::unique(operands.begin(), operands.end()), operands.end());
    if (!operands.empty() && operands.front() == never) {
        return never;
    }
    std::erase(operands, always);
    if (operands.size() < 2) {
        return operands.empty() ? always : operands.front();
    }
    const auto [found, fresh] =
        conjunctions_.try_emplace(operands, static_cast<Literal>(2 * gates_.size()));
    if (fresh) {
        gates_.push_back({Gate::Kind::all, 0, 0, std::move(operands)});
    }
    return found->second;
}

Literal Circuit::any(std::vector<Literal> operands) {
    for (Literal& operand : operands) {
        operand = negate(operand);
    }
    return negate(all(std::move(operands)));
}

Literal Circuit::pick(Literal bit, Literal high, Literal low) {
    if (high == never || low == never) {
        return high == never ? all({negate(bit), low}) : all({bit, high});
    }
    if (high == always || low == always) {
        return high == always ? any({bit, low}) : any({negate(bit), high});
    }
    return any({all({bit, high}), all({negate(bit), low})});
}

}  // namespace toprail::bulk
