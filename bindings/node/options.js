'use strict';
// Options by name. A name that nothing reads would change nothing in silence, so it is refused.

/** How many letters have to be changed, put in or taken out. */
function distance(a, b) {
  let row = Array.from({length: b.length + 1}, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++)
      next[j] = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
    row = next;
  }
  return row[b.length];
}

const LONGEST_NAME = 100;

/** '; did you mean ...?' for the nearest of the known names; empty when none is near. */
function meant(name, known) {
  if (name.length > LONGEST_NAME) return '';
  const far = Math.max(2, Math.floor(name.length / 3)) + 1;
  const [near, letters] = known
    .map((each) => [each, distance(name.toLowerCase(), each.toLowerCase())])
    .reduce((best, each) => (each[1] < best[1] ? each : best), ['', far]);
  return letters < far ? `; did you mean "${near}"?` : '';
}

/** The options themselves. Throws a TypeError at a name that is not known. */
function held(options, known, what) {
  if (typeof options !== 'object' || options === null || Array.isArray(options))
    throw new TypeError(`${what} are an object; it takes ${known.join(', ')}`);
  for (const name of Object.keys(options))
    if (!known.includes(name))
      throw new TypeError(
        `${what} have no "${name}"${meant(name, known) || `; known are ${known.join(', ')}`}`);
  return options;
}

module.exports = {held, meant};
