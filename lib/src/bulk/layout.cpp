// Entry point: lay_out.
#include "bulk/layout.hpp"

#include <algorithm>
#include <map>
#include <optional>

namespace toprail::bulk {
namespace {

constexpr std::uint32_t no_slot = static_cast<std::uint32_t>(-1);

std::uint32_t gate_of(Literal literal) {
    return literal / 2;
}

std::vector<Literal> literals_of(const OutcomeRoots& roots) {
    return {roots.required, roots.excepted, roots.not_required, roots.no_answer};
}

std::vector<Literal> literals_of(const StatusRoots& roots) {
    return {roots.stands, roots.displaced};
}

class LayingOut {
  public:
    LayingOut(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
              const std::vector<StatusRoots>& rows)
        : roots_(roots),
          rows_(rows),
          gates_(circuit.gates()) {}

    Layout run() {
        merge_conjunctions();
        put_in_order();
        find_last_uses();
        give_slots();
        return std::move(layout_);
    }

  private:
    struct Item {
        TapeStep::Kind kind = TapeStep::Kind::gates;
        std::uint32_t index = 0;  // fact, gate, duty, or row of statuses
    };

    // A conjunction that only another conjunction uses becomes part of it: each gate that goes
    // saves writing its planes and reading them again.
    void merge_conjunctions() {
        std::vector<std::uint32_t> uses(gates_.size(), 0);
        std::vector<bool> reached(gates_.size(), false);
        each_root([&](Literal literal) {
            reached[gate_of(literal)] = true;
            uses[gate_of(literal)] += 2;  // must keep planes of its own
        });
        // Operands have lower numbers than what uses them.
        for (std::size_t g = gates_.size(); g-- > 0;) {
            if (reached[g]) {
                for (const Literal operand : gates_[g].operands) {
                    reached[gate_of(operand)] = true;
                    ++uses[gate_of(operand)];
                }
            }
        }
        for (Gate& gate : gates_) {
            std::vector<Literal> merged;
            for (const Literal operand : gate.operands) {
                const Gate& inner = gates_[gate_of(operand)];
                if (operand % 2 == 0 && uses[gate_of(operand)] == 1 &&
                    inner.kind == Gate::Kind::all) {
                    merged.insert(merged.end(), inner.operands.begin(), inner.operands.end());
                } else {
                    merged.push_back(operand);
                }
            }
            gate.operands = std::move(merged);
        }
    }

    void put_in_order() {
        std::vector<bool> done(gates_.size(), false);
        done[gate_of(never)] = done[gate_of(open)] = true;
        used_leaves();
        for (std::uint32_t row = 0; row < rows_.size(); ++row) {
            for (const Literal literal : literals_of(rows_[row])) {
                visit(gate_of(literal), done);
            }
            items_.push_back({TapeStep::Kind::status, row});
            if (useful(rows_[row].then)) {
                visit(gate_of(rows_[row].then), done);
            }
        }
        for (std::uint32_t duty = 0; duty < roots_.size(); ++duty) {
            for (const Literal literal : literals_of(roots_[duty])) {
                visit(gate_of(literal), done);
            }
            items_.push_back({TapeStep::Kind::outcome, duty});
        }
    }

    template <class Each>
    void each_root(Each each) const {
        for (const OutcomeRoots& roots : roots_) {
            for (const Literal literal : literals_of(roots)) {
                each(literal);
            }
        }
        for (const StatusRoots& roots : rows_) {
            for (const Literal literal : literals_of(roots)) {
                each(literal);
            }
        }
    }

    // Merged away, or used by nothing, it has no planes.
    [[nodiscard]] bool useful(Literal literal) const { return kept_[gate_of(literal)]; }

    void used_leaves() {
        std::vector<bool>& reached = kept_;
        reached.assign(gates_.size(), false);
        each_root([&](Literal literal) { reached[gate_of(literal)] = true; });
        for (std::size_t g = gates_.size(); g-- > 0;) {
            if (!reached[g]) {
                continue;
            }
            if (gates_[g].kind == Gate::Kind::leaf) {
                leaves_of_[gates_[g].fact].push_back(static_cast<std::uint32_t>(g));
            }
            for (const Literal operand : gates_[g].operands) {
                reached[gate_of(operand)] = true;
            }
        }
    }

    // Operands before what uses them; with a stack of its own, for chains of displacement may be
    // long.
    void visit(std::uint32_t root, std::vector<bool>& done) {
        std::vector<std::uint32_t> stack{root};
        while (!stack.empty()) {
            const std::uint32_t at = stack.back();
            const Gate& gate = gates_[at];
            const std::size_t before = stack.size();
            if (!done[at]) {
                for (const Literal operand : gate.operands) {
                    if (!done[gate_of(operand)]) {
                        stack.push_back(gate_of(operand));
                    }
                }
            }
            if (stack.size() > before) {
                continue;
            }
            stack.pop_back();
            if (done[at]) {
                continue;
            }
            done[at] = true;
            if (gate.kind == Gate::Kind::leaf) {
                items_.push_back({TapeStep::Kind::slice, gate.fact});
                for (const std::uint32_t leaf : leaves_of_[gate.fact]) {
                    done[leaf] = true;
                }
            } else {
                items_.push_back({TapeStep::Kind::gates, at});
            }
        }
    }

    void find_last_uses() {
        last_use_.assign(gates_.size(), 0);
        for (std::size_t i = 0; i < items_.size(); ++i) {
            for (const std::uint32_t used : used_by(items_[i])) {
                last_use_[used] = i;
            }
        }
    }

    [[nodiscard]] std::vector<std::uint32_t> used_by(const Item& item) const {
        std::vector<std::uint32_t> used;
        if (item.kind == TapeStep::Kind::gates) {
            for (const Literal operand : gates_[item.index].operands) {
                used.push_back(gate_of(operand));
            }
        } else if (item.kind == TapeStep::Kind::outcome) {
            for (const Literal literal : literals_of(roots_[item.index])) {
                used.push_back(gate_of(literal));
            }
        } else if (item.kind == TapeStep::Kind::status) {
            for (const Literal literal : literals_of(rows_[item.index])) {
                used.push_back(gate_of(literal));
            }
        }
        std::sort(used.begin(), used.end());
        used.erase(std::unique(used.begin(), used.end()), used.end());
        return used;
    }

    void give_slots() {
        slot_.assign(gates_.size(), no_slot);
        slot_[gate_of(never)] = 0;
        slot_[gate_of(open)] = 1;
        layout_.slots = 2;
        for (std::size_t i = 0; i < items_.size(); ++i) {
            const Item& item = items_[i];
            // A gate reads all its operands before it writes: it may write over one of them.
            std::vector<PlaneRef> operands;
            if (item.kind == TapeStep::Kind::gates) {
                for (const Literal operand : gates_[item.index].operands) {
                    operands.push_back(ref(operand));
                }
            } else if (item.kind == TapeStep::Kind::outcome) {
                write_outcome(item.index);
            } else if (item.kind == TapeStep::Kind::status) {
                write_status(item.index);
            }
            for (const std::uint32_t used : used_by(item)) {
                if (last_use_[used] == i && slot_[used] >= 2) {
                    free_.push_back(slot_[used]);
                }
            }
            if (item.kind == TapeStep::Kind::slice) {
                write_slice(item.index);
            } else if (item.kind == TapeStep::Kind::gates) {
                write_gate(item.index, operands);
            }
        }
    }

    [[nodiscard]] PlaneRef ref(Literal literal) const {
        return 2 * slot_[gate_of(literal)] + literal % 2;
    }

    std::uint32_t take_slot() {
        if (free_.empty()) {
            return static_cast<std::uint32_t>(layout_.slots++);
        }
        const std::uint32_t slot = free_.back();
        free_.pop_back();
        return slot;
    }

    void write_slice(std::uint32_t fact) {
        const auto first = static_cast<std::uint32_t>(layout_.leaves.size());
        for (const std::uint32_t leaf : leaves_of_[fact]) {
            slot_[leaf] = take_slot();
            layout_.leaves.push_back({slot_[leaf], gates_[leaf].leaf});
        }
        layout_.steps.push_back({TapeStep::Kind::slice,
                                 static_cast<std::uint32_t>(layout_.columns.size()), first,
                                 static_cast<std::uint32_t>(layout_.leaves.size())});
        layout_.columns.push_back(fact);
    }

    void write_gate(std::uint32_t gate, const std::vector<PlaneRef>& operands) {
        if (layout_.steps.empty() || layout_.steps.back().kind != TapeStep::Kind::gates) {
            const auto at = static_cast<std::uint32_t>(layout_.code.size());
            layout_.steps.push_back({TapeStep::Kind::gates, 0, at, at});
        }
        slot_[gate] = take_slot();
        layout_.code.push_back(2 * slot_[gate]);
        layout_.code.push_back(static_cast<std::uint32_t>(operands.size()));
        layout_.code.insert(layout_.code.end(), operands.begin(), operands.end());
        layout_.steps.back().last = static_cast<std::uint32_t>(layout_.code.size());
    }

    void write_outcome(std::uint32_t duty) {
        const OutcomeRoots& roots = roots_[duty];
        layout_.steps.push_back(
            {TapeStep::Kind::outcome, 0, static_cast<std::uint32_t>(layout_.outcomes.size()), 0});
        layout_.outcomes.push_back({ref(roots.required), ref(roots.excepted),
                                    ref(roots.not_required), ref(roots.no_answer), duty});
    }

    void write_status(std::uint32_t row) {
        layout_.steps.push_back({TapeStep::Kind::status, 0, row, 0});
        layout_.statuses.push_back({ref(rows_[row].stands), ref(rows_[row].displaced), row});
    }

    const std::vector<OutcomeRoots>& roots_;
    const std::vector<StatusRoots>& rows_;
    std::vector<Gate> gates_;  // a copy, for its conjunctions are merged
    std::vector<bool> kept_;   // gates that some root hangs on, once conjunctions are merged
    std::map<std::uint32_t, std::vector<std::uint32_t>> leaves_of_;
    std::vector<Item> items_;
    std::vector<std::size_t> last_use_;
    std::vector<std::uint32_t> slot_;
    std::vector<std::uint32_t> free_;
    Layout layout_;
};

}  // namespace

Layout lay_out(const Circuit& circuit, const std::vector<OutcomeRoots>& roots,
               const std::vector<StatusRoots>& rows) {
    return LayingOut(circuit, roots, rows).run();
}

}  // namespace toprail::bulk
