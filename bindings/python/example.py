"""A first decision, and a column: run it where the folder `rulepacks` is."""

import numpy
import toprail

shelf = toprail.load("rulepacks")
facts = {
    "lift-mechanism": "scissor",
    "platform-height": {"value": "14 ft", "from": "tape measure"},
    "guardrail": "removed",
    "gate-open": False,
    "stance": None,  # not known, as is every fact that is left out
}
try:
    decision = shelf.decide(facts, "2024-06-01", authorities=["us.federal.construction"])
except toprail.FindingsError as error:
    for finding in error.findings:
        print(finding.code, finding.message, finding.help)
    raise
duty = decision.duty("tie-off")
print("tie-off:", duty.outcome, "- ask next:", duty.ask_next, "- until then:", duty.act_as_if)
for step in decision.trail:
    if step.status == "stands":
        print(step.cite, "-", step.effect)
plan = shelf.plan("2024-06-01", authorities=["us.federal.construction"])
heights = numpy.array([3.0, 14.0, numpy.nan])
outcomes = plan.decide({"platform-height": heights}, units={"platform-height": "ft"})
print([toprail.OUTCOMES[byte] for byte in outcomes["tie-off"]])
