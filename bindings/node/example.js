// A first decision: run it where the folder `rulepacks` is.
const toprail = require('toprail');

async function main() {
  const shelf = await toprail.load('rulepacks');
  const facts = {
    'lift-mechanism': 'scissor',
    'platform-height': {value: '14 ft', from: 'tape measure'},
    guardrail: 'removed',
    'gate-open': false,
    stance: null, // not known, as is every fact that is left out
  };
  const decision = shelf.decide(facts, '2024-06-01', {authorities: ['us.federal.construction']});
  const duty = decision.duties['tie-off'];
  console.log('tie-off:', duty.outcome, '- ask next:', duty['ask-next']);
  for (const step of decision.trail.filter((each) => each.status === 'stands'))
    console.log(step.cite, '-', step.effect);

  const plan = await shelf.plan('2024-06-01', {authorities: ['us.federal.construction']});
  const heights = Float64Array.of(3, 14, NaN);
  const {outcomes} = await plan.decide({'platform-height': {values: heights, unit: 'ft'}});
  console.log(Array.from(outcomes['tie-off'], (byte) => toprail.outcomeWords[byte]));
}

main().catch((error) => {
  console.error(error.message); // of a FindingsError, .findings says what and where
  process.exit(1);
});
