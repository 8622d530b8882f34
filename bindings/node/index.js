'use strict';
// Decides, with a citable trail, whether a person working from a lift must be tied off.
// index.d.ts says what each of these takes and gives.

const addon = require('./toprail.node');
const {listed, text} = require('./facts.js');
const {held, meant} = require('./options.js');

class ToprailError extends Error {
  constructor(status, says) {
    super(says);
    this.name = this.constructor.name;
    this.status = status;
  }
}

class FindingsError extends ToprailError {
  constructor(status, says, findings) {
    super(status, [says, ...findings.map(told)].join('\n'));
    this.findings = findings;
  }
}

function told(finding) {
  const place = finding.line > 0 ? `${finding.file}:${finding.line}:${finding.column}: ` : '';
  const help = finding.help ? ` (${finding.help})` : '';
  return `${place}${finding.severity} ${finding.code}: ${finding.message}${help}`;
}

function errorOf({status, says, findings}) {
  return findings
    ? new FindingsError(status, says, JSON.parse(findings))
    : new ToprailError(status, says);
}

const isTrouble = (answer) => typeof answer?.status === 'string';

function settled(answer) {
  if (isTrouble(answer)) throw errorOf(answer);
  return answer;
}

function strings(list, what) {
  if (!Array.isArray(list)) throw new TypeError(`${what} are an array of strings`);
  return list.map((each) => text(each, `one of ${what}`));
}

function whole(number, what) {
  if (!Number.isSafeInteger(number) || number < 0)
    throw new RangeError(`${what} is a whole number from 0`);
  return number;
}

const LENGTHS = ['answer', 'reasons', 'everything'];
const DECIDING = ['authorities', 'budget', 'caseName'];
const OPTIONS = {
  json: DECIDING,
  sheet: [...DECIDING, 'length'],
  // Its case is named by an argument.
  receipt: ['authorities', 'budget', 'seed'],
};

// Known to this file alone: the addon trusts what it is handed.
const MADE_HERE = Symbol();

function holdToMade(key, how) {
  if (key !== MADE_HERE) throw new TypeError(`${how} makes it`);
}

// A shelf holds the addon's; the addon's makes sure that everything is closed in the end.
class Shelf {
  #inner;

  constructor(inner, key) {
    holdToMade(key, 'load()');
    this.#inner = inner;
  }

  decide(facts, on, options = {}) {
    return JSON.parse(settled(this.#run(false, 'json', [facts], on, options)[0]));
  }

  async decideLater(facts, on, options = {}) {
    const [answer] = await this.#run(true, 'json', [facts], on, options);
    return JSON.parse(settled(answer));
  }

  async decideMany(cases, on, options = {}) {
    const answers = await this.#run(true, 'json', [...cases], on, options);
    return answers.map((each) => (isTrouble(each) ? errorOf(each) : JSON.parse(each)));
  }

  sheet(facts, on, options = {}) {
    return settled(this.#run(false, 'sheet', [facts], on, options)[0]);
  }

  receipt(facts, on, caseName = '', options = {}) {
    return settled(this.#run(false, 'receipt', [facts], on, options, caseName)[0]);
  }

  async receiptLater(facts, on, caseName = '', options = {}) {
    return settled((await this.#run(true, 'receipt', [facts], on, options, caseName))[0]);
  }

  async plan(on, options = {}) {
    const {authorities = [], duties = []} = held(options, ['authorities', 'duties'], 'options of plan()');
    const made = this.#inner.plan(
      text(on, 'the deciding date'), strings(authorities, 'authorities'), strings(duties, 'duties'));
    return new Plan(settled(await made), MADE_HERE);
  }

  close() {
    this.#inner.close();
  }

  #run(later, wanted, cases, on, options, name = '') {
    const {authorities = [], budget = 0, caseName = name, length = 'reasons', seed} =
      held(options, OPTIONS[wanted], 'options');
    if (!LENGTHS.includes(length)) throw new RangeError(`length is one of ${LENGTHS.join(', ')}`);
    if (seed !== undefined && !(seed instanceof Uint8Array && seed.length === 32))
      throw new RangeError('a seed is a Uint8Array of 32 bytes');
    text(caseName, 'the name of the case');
    return settled(this.#inner.decide(
      later, wanted, cases.flatMap((facts) => [listed(facts), caseName]),
      text(on, 'the deciding date'), strings(authorities, 'authorities'), whole(budget, 'budget'),
      LENGTHS.indexOf(length), seed && Buffer.from(seed)));
  }
}

const KINDS = {classes: 0, numbers: 1, reals: 2, codes: 3, values: 4};

// "{values: Float32Array}", or the type of what is no object.
function shapeOf(given) {
  if (typeof given !== 'object' || given === null) return given === null ? 'null' : typeof given;
  if (ArrayBuffer.isView(given)) return given.constructor.name;
  const parts = Object.entries(given).map(
    ([key, value]) => `${key}: ${value?.constructor?.name ?? typeof value}`);
  return `{${parts.join(', ')}}`;
}

function textOf(fact, value, place) {
  if (typeof value === 'number' || typeof value === 'bigint')
    throw new TypeError(
      `"${fact}" holds a number at place ${place} of an array of texts; numbers stand in ` +
      "{values: Float64Array.from(...), unit: 'ft'}, with their own unit");
  return text(value, `the value of "${fact}" at place ${place}`);
}

// Name, kind, values, unit and texts of one column.
function column(fact, given) {
  if (Array.isArray(given))
    return [fact, KINDS.values, given.map((each, i) => textOf(fact, each, i)), '', []];
  if (typeof given === 'object' && given !== null && !ArrayBuffer.isView(given))
    held(given, ['values', 'unit', 'codes', 'texts', 'classes'], `keys of the column "${fact}"`);
  const {classes, codes, texts = [], values, unit = ''} = given ?? {};
  text(unit, `the unit of "${fact}"`);
  if (classes instanceof Uint8Array) return [fact, KINDS.classes, classes, '', []];
  if (codes instanceof Int8Array) return [fact, KINDS.codes, codes, '', strings(texts, 'texts')];
  if (values instanceof BigInt64Array) return [fact, KINDS.numbers, values, unit, []];
  if (values instanceof Float64Array) return [fact, KINDS.reals, values, unit, []];
  throw new TypeError(
    `the column "${fact}" is ${shapeOf(given)}, and none of: an array of strings, {values: Float64Array or BigInt64Array, unit}, ` +
    '{codes: Int8Array, texts}, {classes: Uint8Array}');
}

function lengthOf(columns, given) {
  const lengths = columns.map((each) => each[2].length);
  const cases = given ?? lengths[0] ?? 0;
  const wrong = lengths.findIndex((each) => each !== cases);
  if (wrong >= 0)
    throw new RangeError(`"${columns[wrong][0]}" holds ${lengths[wrong]} cases and not ${cases}`);
  return whole(cases, 'cases');
}

class Plan {
  #inner;

  constructor(inner, key) {
    holdToMade(key, 'Shelf.plan()');
    this.#inner = inner;
    const {facts, duties} = settled(addon.describePlan(inner));
    this.facts = facts;
    this.duties = duties;
  }

  classOf(fact, value) {
    return settled(addon.classOf(this.#inner, text(fact, 'a fact'), text(value, 'a value')));
  }

  async decide(columns, options = {}) {
    const {cases, threads = 1, quick = false, budget = 0} =
      held(options, ['cases', 'threads', 'quick', 'budget'], 'options of decide()');
    if (typeof columns !== 'object' || columns === null || Array.isArray(columns))
      throw new TypeError('columns are an object of facts and their columns');
    const known = this.facts.map((each) => each.fact);
    for (const name of Object.keys(columns))
      if (!known.includes(name))
        throw new ToprailError(
          'no-such', `the vocabulary has no fact "${name}"${meant(name, known)}`);
    const given = Object.entries(columns).map(([fact, values]) => column(fact, values));
    const length = lengthOf(given, cases);
    const bytes = new ArrayBuffer(length * this.duties.length);
    // The addon keeps arrays and outcomes; `this`, and with it the plan, lives until the end.
    const report = settled(await addon.decideColumns(
      this.#inner, given, length, bytes, whole(threads, 'threads'), Boolean(quick),
      whole(budget, 'budget')));
    const outcomes = {};
    this.duties.forEach((duty, i) => {
      outcomes[duty] = new Uint8Array(bytes, i * length, length);
    });
    return {outcomes, report};
  }

  close() {
    addon.closePlan(this.#inner);
  }
}

function sourcesOf(texts) {
  return Object.entries(texts).flatMap(([name, each]) => [text(name, 'a name'), text(each, name)]);
}

const shelfOf = (loaded) => new Shelf(settled(loaded), MADE_HERE);

module.exports = {
  load: async (...folders) => shelfOf(await addon.load(true, strings(folders, 'folders'), false)),
  loadNow: (...folders) => shelfOf(addon.load(false, strings(folders, 'folders'), false)),
  loadTexts: (texts) => shelfOf(addon.load(false, sourcesOf(texts), true)),
  Shelf,
  Plan,
  ToprailError,
  FindingsError,
  version: addon.version,
  hasReceipts: addon.hasReceipts,
  hasPlans: addon.hasPlans,
  // The byte of an outcome is its place in this list.
  outcomeWords: Object.freeze([
    'required', 'required with exception', 'not required', 'not addressed', 'undetermined',
    'no answer']),
  // In columns.
  classNotKnown: 255,
  classDoesNotApply: 254,
  numberNotKnown: -(2n ** 63n),
  numberDoesNotApply: -(2n ** 63n) + 1n,
};
