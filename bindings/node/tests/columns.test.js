'use strict';
const assert = require('node:assert/strict');
const {test} = require('node:test');

const toprail = require('toprail');
const {texts, day} = require('./small.js');

const mechanisms = ['boom', 'scissor', 'scissor', 'not known', 'scissor'];
const heights = ['20 ft', '3 ft', '3.9 ft', 'not known', '4 ft'];
const gates = ['no', 'no', 'yes', 'not known', 'no'];

const words = (bytes) => Array.from(bytes, (byte) => toprail.outcomeWords[byte]);

test('columns of every kind come to what one case at a time comes to', async () => {
  const shelf = toprail.loadTexts(texts);
  const plan = await shelf.plan(day);
  assert.deepEqual(plan.duties, ['tie-off']);
  assert.ok(plan.facts.find((each) => each.fact === 'height').used);
  const expected = mechanisms.map((mechanism, i) =>
    shelf.decide({mechanism, height: heights[i], 'gate-open': gates[i]}, day).duties['tie-off'].outcome);
  assert.equal(new Set(expected).size, 4);
  const ways = {
    mechanism: [
      mechanisms,
      {codes: Int8Array.of(1, 0, 0, -1, 0), texts: ['scissor', 'boom']},
      {classes: Uint8Array.from(mechanisms, (each) => plan.classOf('mechanism', each))},
    ],
    height: [
      heights,
      {values: Float64Array.of(20, 3, 3.9, NaN, 4), unit: 'ft'},
      {values: BigInt64Array.of(2000n, 300n, 390n, toprail.numberNotKnown, 400n).map(
        (each) => (each < 0 ? each : (each * 3048n) / 1000n)), unit: 'mm'},
    ],
    'gate-open': [gates, {codes: Int8Array.of(0, 0, 1, -1, 0), texts: ['no', 'yes']}],
  };
  // In whole millimetres, rounded down, 3.9 ft and 4 ft stay on their sides of 4 ft or move below.
  for (const mechanism of ways.mechanism)
    for (const height of ways.height.slice(0, 2))
      for (const gate of ways['gate-open'])
        for (const threads of [1, 3]) {
          const {outcomes, report} =
            await plan.decide({mechanism, height, 'gate-open': gate}, {threads});
          assert.deepEqual(words(outcomes['tie-off']), expected);
          assert.equal(report.noAnswer, 0);
        }
  const {outcomes} = await plan.decide(
    {mechanism: mechanisms, height: ways.height[2], 'gate-open': gates});
  assert.equal(words(outcomes['tie-off'])[4], 'not required', '1219 mm is less than 4 ft');
});

test('a part of a larger array is read where it lies', async () => {
  const plan = await toprail.loadTexts(texts).plan(day);
  const whole = Float64Array.of(99, 3, 20, 99);
  const part = whole.subarray(1, 3);
  const gate = {codes: new Int8Array(2), texts: ['no']};
  const mechanism = {codes: new Int8Array(2), texts: ['scissor']};
  const {outcomes} =
    await plan.decide({height: {values: part, unit: 'ft'}, 'gate-open': gate, mechanism});
  assert.deepEqual(words(outcomes['tie-off']), ['not required', 'not addressed']);
});

test('a million cases leave the main thread free, and the collector leaves their arrays', async () => {
  const plan = await toprail.loadTexts(texts).plan(day);
  const cases = 1_000_000;
  const begin = () => {
    const values = new Float64Array(cases).map((_, i) => (i % 8) + 0.5);
    const codes = new Int8Array(cases).fill(0);
    return plan.decide({
      height: {values, unit: 'ft'},
      mechanism: {codes, texts: ['scissor']},
      'gate-open': {codes, texts: ['no']},
    });
  };
  let turns = 0;
  const turning = setInterval(() => {
    turns += 1;
    global.gc();
  }, 0);
  // Work that held the main thread would give the interval no turn in any round; how soon it comes
  // to its first beside work that does not is the machine's affair.
  let outcomes;
  for (let round = 0; round < 200 && (round === 0 || turns === 0); ++round)
    ({outcomes} = await begin());
  clearInterval(turning);
  const counted = outcomes['tie-off'].reduce((sum, byte) => sum + (byte === 2 ? 1 : 0), 0);
  assert.equal(counted, cases / 2);
  assert.ok(turns > 0, 'the main thread stood still');
});

test('wrong columns are refused', async () => {
  const shelf = toprail.loadTexts(texts);
  const plan = await shelf.plan(day);
  const values = Float64Array.of(1, 2);
  for (const wrong of [null, 3, 'x', {}, {values: [1, 2]}, {values: new Int32Array(2)}, [1, 2],
    {codes: new Int8Array(2), texts: [3]}, {values, unit: 3}])
    await assert.rejects(plan.decide({height: wrong}), TypeError);
  const says = (message) => (error) => message.test(error.message);
  await assert.rejects(plan.decide({height: {values, units: 'ft'}}), says(/did you mean "unit"\?/));
  await assert.rejects(plan.decide({height: {values: new Int32Array(2)}}),
    says(/"height" is \{values: Int32Array\}, and none of/));
  await assert.rejects(plan.decide({height: [1, 2]}), says(/a number at place 0 .* Float64Array/));
  await assert.rejects(plan.decide({height: {values}}), says(/no unit; give a unit such as ft/));
  await assert.rejects(plan.decide({hight: {values}}), says(/did you mean "?height/));
  await assert.rejects(plan.decide({}, {thread: 2}), says(/did you mean "threads"\?/));
  await assert.rejects(plan.decide([]), TypeError);
  await assert.rejects(plan.decide({height: {values, unit: 'ft'}, mechanism: ['boom']}), RangeError);
  await assert.rejects(plan.decide({height: {values, unit: 'ft'}}, {cases: 3}), RangeError);
  await assert.rejects(plan.decide({height: {values, unit: 'stones'}}), {status: 'bad-argument'});
  await assert.rejects(plan.decide({hight: {values, unit: 'ft'}}), {status: 'no-such'});
  await assert.rejects(shelf.plan(day, {duties: ['no-such-duty']}), toprail.FindingsError);
  assert.throws(() => plan.classOf('height', '1 stone'), {status: 'bad-argument'});
  const {outcomes, report} = await plan.decide({height: ['1 ft', 'high up']});
  assert.deepEqual(words(outcomes['tie-off']), ['undetermined', 'no answer']);
  assert.equal(report.noAnswer, 1);
  await assert.rejects(plan.decide({}, {cases: 2 ** 50}), RangeError);
  const none = await plan.decide({});
  assert.equal(none.outcomes['tie-off'].length, 0);
  plan.close();
  await assert.rejects(plan.decide({height: {values, unit: 'ft'}}), {status: 'bad-handle'});
});
