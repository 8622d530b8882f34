'use strict';
// How long one decision takes in Node, and one of very many in columns: for overhead.py, which hands
// in the folder of the rulepacks and the facts.
const toprail = require('toprail');

const {folder, facts, day, authorities, rounds, cases} = JSON.parse(process.argv[2]);
// Time of the processor, on all threads.
const now = () => {
  const {user, system} = process.cpuUsage();
  return user + system;
};

async function best(count, once) {
  let least = Infinity;
  for (let part = 0; part < 5; ++part) {
    const begin = now();
    await once();
    least = Math.min(least, (now() - begin) / count);
  }
  return least;
}

async function main() {
  const shelf = await toprail.load(folder);
  const one = await best(rounds, () => {
    for (let i = 0; i < rounds; ++i) shelf.decide(facts, day, {authorities});
  });
  const plan = await shelf.plan(day, {authorities, duties: ['tie-off']});
  const values = Float64Array.from({length: cases}, (_, i) => (i % 40) / 2);
  const codes = Int8Array.from({length: cases}, (_, i) => i % 2);
  const columns = {
    'platform-height': {values, unit: 'ft'},
    guardrail: {codes, texts: ['removed', 'complete']},
    elevated: {codes, texts: ['no', 'yes']},
  };
  const many = await best(cases, () => plan.decide(columns, {quick: true}));
  console.log(`${one} ${many}`);
}

main();
