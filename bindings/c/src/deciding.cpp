// Entry points: facts, and deciding.
#include "deciding.hpp"

namespace toprail::c {

Date read_day(toprail_text day) {
    const auto read = Date::parse(view(day));
    if (!read) {
        refuse(TOPRAIL_BAD_ARGUMENT,
               "the day is no existing day from 1800 to 2200; write it as 2024-06-01");
    }
    return *read;
}

DecideOptions decide_options(const toprail_decide_options* from) {
    const toprail_decide_options given = options(from);
    DecideOptions how;
    how.authorities = strings(given.authorities.items, given.authorities.count);
    if (given.budget != 0) {
        how.budget = given.budget;
    }
    return how;
}

toprail_status hand_out_answer(Answer answer, toprail_decision** decision,
                               toprail_findings** findings) {
    Kept<toprail_findings> told = keep_findings(std::move(answer.findings), findings);
    if (!answer.decision) {
        hand_out(told, findings);
        refuse(TOPRAIL_FINDINGS, "the facts cannot be used; the findings say why");
    }
    if (decision != nullptr) {
        Kept<toprail_decision> kept(std::make_shared<HeldDecision>(*std::move(answer.decision)));
        *decision = kept.release();
    }
    hand_out(told, findings);
    return TOPRAIL_OK;
}

namespace {

void set_all(Facts& facts, const toprail_fact* entries, std::size_t count) {
    hold_to_list(entries, count);
    for (std::size_t i = 0; i < count; ++i) {
        facts.set(view(entries[i].name), view(entries[i].value), view(entries[i].from));
    }
}

}  // namespace
}  // namespace toprail::c

using namespace toprail::c;

extern "C" {

toprail_status toprail_facts_new(const toprail_fact* entries, size_t count, toprail_facts** facts) {
    return entry([&] {
        place(facts) = nullptr;
        auto made = std::make_shared<HeldFacts>();
        set_all(made->facts, entries, count);
        *facts = Kept<toprail_facts>(std::move(made)).release();
        return TOPRAIL_OK;
    });
}

toprail_status toprail_facts_set(toprail_facts* facts, const toprail_fact* entries, size_t count) {
    return entry([&] {
        const auto to = held<HeldFacts>(facts);
        // A copy first: a call that fails half-way sets nothing.
        toprail::Facts changed = to->facts;
        set_all(changed, entries, count);
        to->facts = std::move(changed);
        return TOPRAIL_OK;
    });
}

toprail_status toprail_facts_remove(toprail_facts* facts, toprail_text name) {
    return entry([&] {
        held<HeldFacts>(facts)->facts.remove(view(name));
        return TOPRAIL_OK;
    });
}

toprail_status toprail_decide(const toprail_shelf* shelf, const toprail_facts* facts,
                              toprail_text day, const toprail_decide_options* how,
                              toprail_decision** decision, toprail_findings** findings) {
    return entry([&] {
        if (findings != nullptr) {
            *findings = nullptr;
        }
        place(decision) = nullptr;
        const auto with = held<HeldShelf>(shelf);
        const auto about = held<HeldFacts>(facts);
        return hand_out_answer(with->shelf.decide(about->facts, read_day(day), decide_options(how)),
                               decision, findings);
    });
}
}
