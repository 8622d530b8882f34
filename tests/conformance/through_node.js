'use strict';
// Makes receipts in Node, for run.py: a JSON list of cases on standard input; a JSON list of
// receipts, or of the codes of findings, on standard output.
const fs = require('node:fs');
const toprail = require('toprail');

const words = {yes: true, no: false, 'not known': null};
const inJavaScript = (value) => (value in words ? words[value] : value);

const shelf = toprail.loadNow('rulepacks');
const answers = JSON.parse(fs.readFileSync(0, 'utf8')).map(({case: name, on, facts, authorities}) => {
  const given = Object.entries(facts).map(([fact, told]) => [
    fact,
    typeof told === 'string'
      ? inJavaScript(told)
      : {...told, value: inJavaScript(told.value)},
  ]);
  try {
    return shelf.receipt(Object.fromEntries(given), on, name, {authorities}).toString();
  } catch (error) {
    if (!(error instanceof toprail.FindingsError)) throw error;
    return error.findings.map((each) => each.code).join(' ');
  }
});
process.stdout.write(JSON.stringify(answers));
