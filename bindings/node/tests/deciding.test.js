'use strict';
const assert = require('node:assert/strict');
const fs = require('node:fs');
const path = require('node:path');
const {test} = require('node:test');

const toprail = require('toprail');
const {texts, day} = require('./small.js');

const outcome = (decision) => decision.duties['tie-off'].outcome;

test('one case, from an object', () => {
  const shelf = toprail.loadTexts(texts);
  const decision = shelf.decide({mechanism: 'boom', height: {value: '20 ft', from: 'tape'}}, day);
  assert.equal(outcome(decision), 'required');
  assert.deepEqual(decision.facts.height, {value: '20 ft', from: 'tape'});
  assert.deepEqual(decision.trail.filter((step) => step.status === 'stands').map((step) => step.cite),
    ['Yard 1']);
  assert.ok(decision.cautions.length > 0);
  const open = shelf.decide({}, day, {caseName: 'nothing known'});
  assert.equal(outcome(open), 'undetermined');
  assert.equal(open.case, 'nothing known');
  assert.ok(open.duties['tie-off']['ask-next']);
  assert.match(shelf.sheet({mechanism: 'boom'}, day), /REQUIRED/);
});

test('values of every kind', () => {
  const shelf = toprail.loadTexts(texts);
  const told = (facts) => shelf.decide(facts, day).facts;
  assert.equal(told({persons: 2})['persons'].value, '2');
  assert.equal(told({persons: 2n})['persons'].value, '2');
  assert.equal(told({'gate-open': true})['gate-open'].value, 'yes');
  assert.equal(told({'gate-open': {value: null}})['gate-open'].value, 'not known');
  const findings = (facts) => {
    try {
      shelf.decide(facts, day);
    } catch (error) {
      assert.ok(error instanceof toprail.FindingsError);
      return error.findings.map((each) => each.message).join();
    }
    return assert.fail('it was decided');
  };
  assert.match(findings({persons: 1e21}), /1000000000000000000000/);
  assert.match(findings({persons: 2.5e-7}), /0\.00000025/);
  for (const wrong of [undefined, Symbol('x'), () => 1, [1], new Date(0), {value: {}}, {valeu: 1}])
    assert.throws(() => shelf.decide({persons: wrong}, day), TypeError);
  assert.throws(() => shelf.decide({persons: NaN}, day), RangeError);
  assert.throws(() => shelf.decide({persons: '\ud800'}, day), TypeError);
  for (const wrong of [null, undefined, 'x', ['x'], 3])
    assert.throws(() => shelf.decide(wrong, day), TypeError);
  assert.throws(() => shelf.decide({}, new Date(0)), TypeError);
  assert.throws(() => shelf.decide({}, day, {authorities: 'yard'}), TypeError);
  assert.throws(() => shelf.decide({}, day, {budget: -1}), RangeError);
  assert.throws(() => shelf.decide({}, '2024-02-30'),
    (error) => error instanceof toprail.ToprailError && error.status === 'bad-argument');
});

test('an option that nothing reads is refused, and the nearest named', async () => {
  const shelf = toprail.loadTexts(texts);
  const says = (message) => (error) => error instanceof TypeError && message.test(error.message);
  assert.throws(() => shelf.decide({}, day, {authorites: ['yard']}),
    says(/no "authorites"; did you mean "authorities"\?/));
  assert.throws(() => shelf.decide({}, day, {zzzzzzzz: 1}), says(/known are authorities, budget, caseName/));
  assert.throws(() => shelf.decide({}, day, {length: 'answer'}), says(/no "length"/));
  assert.throws(() => shelf.decide({}, day, null), says(/options are an object/));
  assert.throws(() => shelf.sheet({}, day, {lenght: 'answer'}), says(/did you mean "length"\?/));
  assert.throws(() => shelf.receipt({}, day, 'a', {caseName: 'b'}), says(/no "caseName"/));
  await assert.rejects(shelf.decideMany([{}], day, {Budget: 3}), says(/did you mean "budget"\?/));
  await assert.rejects(shelf.plan(day, {duty: ['tie-off']}), says(/no "duty"; known are authorities, duties/));
});

test('findings are errors with their places', async () => {
  const shelf = toprail.loadTexts(texts);
  assert.throws(() => shelf.decide({mechanism: 'hovercraft', hight: '1 ft'}, day), (error) => {
    assert.ok(error instanceof toprail.FindingsError && error instanceof Error);
    assert.equal(error.status, 'findings');
    assert.equal(error.findings.length, 2);
    assert.ok(error.findings.some((each) => each.message.includes('hovercraft') && each.help));
    return true;
  });
  const bad = {...texts, 'bad.yaml': 'rulepack: bad\ntitel: Misspelt\n'};
  assert.throws(() => toprail.loadTexts(bad), (error) => {
    const finding = error.findings.find((each) => each.message.includes('titel'));
    assert.deepEqual([finding.file, finding.line, finding.column, finding.length],
      ['bad.yaml', 2, 1, 5]);
    assert.match(error.message, /bad\.yaml:2:1: error/);
    return true;
  });
  await assert.rejects(toprail.load('/no/such/folder'), toprail.FindingsError);
  await assert.rejects(toprail.load(3), TypeError);
});

test('many cases off the main thread, in order; one that cannot be used holds up none', async () => {
  const shelf = toprail.loadTexts(texts);
  let turns = 0;
  const turning = setInterval(() => (turns += 1), 0);
  const cases = Array.from({length: 3000}, (_, i) =>
    i === 7 ? {mechanism: 'hovercraft'} : {mechanism: i % 2 ? 'boom' : 'scissor', height: '3 ft', 'gate-open': false});
  const answers = await shelf.decideMany(cases, day);
  clearInterval(turning);
  assert.ok(turns > 0, 'the main thread stood still');
  assert.equal(answers.length, 3000);
  assert.ok(answers[7] instanceof toprail.FindingsError);
  assert.equal(outcome(answers[8]), 'not required');
  assert.equal(outcome(answers[9]), 'required');
  const [one, two] = await Promise.all([
    shelf.decideLater({mechanism: 'boom'}, day), shelf.decideLater({height: '3 ft'}, day)]);
  assert.equal(outcome(one), 'required');
  assert.equal(outcome(two), 'undetermined');
});

test('receipts are the same each time', {skip: !toprail.hasReceipts && 'built without'}, async () => {
  const shelf = toprail.loadTexts(texts);
  const first = shelf.receipt({mechanism: 'boom'}, day, 'one');
  assert.ok(Buffer.isBuffer(first));
  assert.match(JSON.parse(first.toString()).digest, /^[0-9a-f]+$/);
  assert.deepEqual(await shelf.receiptLater({mechanism: 'boom'}, day, 'one'), first);
  const seeded = shelf.receipt({mechanism: 'boom'}, day, 'one', {seed: new Uint8Array(32).fill(7)});
  assert.notDeepEqual(seeded, first);
  assert.throws(() => shelf.receipt({}, day, '', {seed: new Uint8Array(31)}), RangeError);
  assert.throws(() => shelf.receipt({mechanism: 'hovercraft'}, day), toprail.FindingsError);
});

test('a closed shelf is refused, and what is under way comes to its end', async () => {
  const shelf = toprail.loadTexts(texts);
  const running = shelf.decideMany(Array(200).fill({mechanism: 'boom'}), day);
  shelf.close();
  shelf.close();
  for (const answer of await running)
    assert.ok(answer.status === 'bad-handle' || outcome(answer) === 'required');
  const refused = {status: 'bad-handle'};
  assert.throws(() => shelf.decide({}, day), refused);
  assert.throws(() => shelf.receipt({}, day), refused);
  await assert.rejects(shelf.plan(day), refused);
  assert.throws(() => new toprail.Shelf({}), TypeError);
  assert.throws(() => new toprail.Plan({}), TypeError);
});

test('shelves that nobody holds give their memory back', async () => {
  assert.ok(global.gc, 'run with --expose-gc');
  const once = async () => {
    for (let i = 0; i < 150; ++i) toprail.loadTexts(texts).decide({mechanism: 'boom'}, day);
    for (let i = 0; i < 3; ++i) {
      global.gc();
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
    return process.memoryUsage().rss;
  };
  await once();
  const before = await once();
  const after = await once();
  assert.ok(after - before < 16 << 20, `${after - before} bytes were kept`);
});

test('the types name what there is', () => {
  const types = fs.readFileSync(path.join(path.dirname(require.resolve('toprail')), 'index.d.ts'),
    'utf8');
  const named = [...types.matchAll(/^export (?:class|const|function) (\w+)/gm)].map((each) => each[1]);
  assert.deepEqual(named.sort(), Object.keys(toprail).sort());
  for (const type of ['Shelf', 'Plan']) {
    const body = types.match(new RegExp(`^export class ${type} \\{(.*?)^\\}`, 'ms'))[1];
    const methods = [...body.matchAll(/^ {2}(\w+)\(/gm)].map((each) => each[1]);
    assert.deepEqual(methods.filter((each) => each !== 'constructor').sort(),
      Object.getOwnPropertyNames(toprail[type].prototype).filter((each) => each !== 'constructor')
        .sort());
  }
});
