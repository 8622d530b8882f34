// Entry point: lint_shelf. What can only be said of a shelf that loads: unused parts, worked cases.
#include "reading/facts_node.hpp"
#include "shelf/expectations.hpp"
#include "shelf/shelf_data.hpp"
#include "toprail/shelf.hpp"

namespace toprail {
namespace {

// A pack that is picked by a fact decides its worked cases on the day it was verified, like any other.
Date deciding_date(const Rulepack& pack, const WorkedCase& worked) {
  return worked.on ? *worked.on : pack.verified_through ? *pack.verified_through : pack.from;
}

void hold_case(const Shelf& shelf, const Rulepack& pack, const WorkedCase& worked, Findings& findings) {
  if (worked.facts == nullptr) {
    return;
  }
  Findings reading;
  const Facts facts = read_fact_entries(*worked.facts, reading);
  DecideOptions options;
  options.authorities = {pack.id};
  const Answer answer = shelf.decide(facts, deciding_date(pack, worked), options);
  if (!answer.decision || reading.any_error()) {
    for (const std::vector<Finding>& list : {reading.take(), answer.findings}) {
      for (const Finding& trouble : list) {
        Finding& finding = findings.add(Kind::case_fails, worked.span,
                                        "the case \"" + worked.name + "\" cannot be decided: " + trouble.message);
        if (trouble.place.line != 0) {
          finding.place = trouble.place;
        }
        finding.help = trouble.help;
      }
    }
    return;
  }
  const Expectations expected{worked.answers, worked.stands,    worked.falls,
                              worked.open,    worked.displaced, worked.asks};
  for (const Mismatch& mismatch :
       mismatches(shelf.data().model, *answer.decision, pack.id, expected)) {
    findings.add(Kind::case_fails, mismatch.span,
                 "the case \"" + worked.name + "\" comes out differently: " + mismatch.message)
        .help = "mend the provision, or the case if it is wrong";
  }
}

}  // namespace

std::vector<Finding> lint_shelf(const Shelf& shelf) {
  Findings findings;
  const ShelfData& data = shelf.data();
  report_unused(data.model, data.graph, findings);
  for (const Rulepack& pack : data.model.packs) {
    for (const WorkedCase& worked : pack.cases) {
      hold_case(shelf, pack, worked, findings);
    }
  }
  return findings.take();
}

}  // namespace toprail
