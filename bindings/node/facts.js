'use strict';
// From JavaScript's values to the texts that the library reads. A value that is none is a TypeError
// or a RangeError; nothing is guessed.

const {isDate} = require('node:util').types;

/** A text that has a form in UTF-8: half of a surrogate pair has none. */
function text(value, what) {
  if (typeof value !== 'string') throw new TypeError(`${what} is a string`);
  if (/\p{Surrogate}/u.test(value)) throw new TypeError(`${what} holds half of a surrogate pair`);
  return value;
}

/** Digits without an exponent, of the shortest decimal that reads back as the number. */
function digits(number) {
  const [mantissa, exponent] = String(number).split('e');
  if (exponent === undefined) return mantissa;
  const sign = mantissa.startsWith('-') ? '-' : '';
  const [whole, fraction = ''] = mantissa.replace('-', '').split('.');
  const power = Number(exponent);
  return power > 0
    ? sign + whole + fraction.padEnd(power, '0')
    : `${sign}0.${'0'.repeat(-power - 1)}${whole}${fraction}`;
}

function plain(name, value) {
  switch (typeof value) {
    case 'string':
      return text(value, `the value of "${name}"`);
    case 'boolean':
      return value ? 'yes' : 'no';
    case 'bigint':
      return String(value);
    case 'number':
      if (!Number.isFinite(value)) throw new RangeError(`the value of "${name}" is no finite number`);
      return digits(value);
  }
  if (value === null) return 'not known';
  const kind = isDate(value) ? 'a Date; which day that is, is for you to say' : typeof value;
  throw new TypeError(`the value of "${name}" is ${kind}; give string, number, bigint, boolean or null`);
}

/** Name, value and source in turn, from an object. */
function listed(facts) {
  if (typeof facts !== 'object' || facts === null || Array.isArray(facts))
    throw new TypeError('facts are an object of names and values');
  const list = [];
  for (const [name, given] of Object.entries(facts)) {
    text(name, 'the name of a fact');
    if (typeof given !== 'object' || given === null || isDate(given)) {
      list.push(name, plain(name, given), '');
      continue;
    }
    for (const key of Object.keys(given))
      if (key !== 'value' && key !== 'from')
        throw new TypeError(`"${name}" has a key "${key}"; a fact may have value and from`);
    list.push(name, plain(name, given.value), text(given.from ?? '', `the source of "${name}"`));
  }
  return list;
}

module.exports = {listed, text};
