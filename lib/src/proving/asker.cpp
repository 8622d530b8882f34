// Entry point: Asker::ask.
#include "proving/asker.hpp"

#include <set>

namespace toprail {

Asker::Asker(z3::context& context, const Variables& variables, unsigned time_limit,
             const std::atomic<bool>* stop)
    : context_(context),
      variables_(variables),
      solver_(context),
      stop_(stop) {
    z3::params params(context);
    params.set("timeout", time_limit);
    // Interrupts belong to the host: left on, the solver would take the first one for itself.
    params.set("ctrl_c", false);
    solver_.set(params);
}

Reply Asker::ask(const z3::expr& term) {
    const z3::expr whole = supposed_.empty() ? term : all_of(context_, {supposed_.back(), term});
    const auto known = known_.find(whole.id());
    if (known != known_.end()) {
        return known->second.second;
    }
    const Reply reply = check(whole, nullptr);
    // The term is kept: the solver reuses the ids of terms that nobody holds.
    known_.emplace(whole.id(), std::make_pair(whole, reply));
    return reply;
}

Reply Asker::ask(const z3::expr& term, FilledCase& found) {
    return check(supposed_.empty() ? term : all_of(context_, {supposed_.back(), term}), &found);
}

void Asker::suppose(const z3::expr& term) {
    supposed_.push_back(supposed_.empty() ? term : all_of(context_, {supposed_.back(), term}));
}

void Asker::release() {
    supposed_.pop_back();
}

Reply Asker::check(const z3::expr& term, FilledCase* found) {
    if (stop_ != nullptr && stop_->load()) {
        throw Stopped{};
    }
    if (term.is_false()) {
        return Reply::impossible;
    }
    ++asked_;
    solver_.push();
    const std::vector<std::size_t> groups = variables_.groups_in(term);
    for (const std::size_t group : groups) {
        for (const z3::expr& constraint : variables_.constraints(group)) {
            solver_.add(constraint);
        }
    }
    solver_.add(term);
    const z3::check_result result = solver_.check();
    if (result == z3::sat && found != nullptr) {
        *found = variables_.read(solver_.get_model(), groups);
    }
    solver_.pop();
    return result == z3::sat     ? Reply::possible
           : result == z3::unsat ? Reply::impossible
                                 : Reply::unsettled;
}

}  // namespace toprail
