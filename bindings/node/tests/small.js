'use strict';
// What the tests share: a vocabulary and a pack of a few lines.

const vocabulary = `vocabulary: small
title: A few words
standings:
  regulation: {rank: 2, may: [require, relax, limit, explain]}
facts:
  mechanism: {type: choice, values: [boom, scissor], reads: the mechanism, ask: "What?", why: w}
  gate-open: {type: yes-no, reads: the gate is open, ask: "Open?", why: w}
  height: {type: length, unit: ft, from: 0 ft, to: 500 ft, reads: the height, ask: "High?", why: w}
  persons: {type: count, from: 0, to: 20, reads: the persons aboard, ask: "How many?", why: w}
duties:
  tie-off: {asks: "Must the person be tied off?", reads: tie-off}
`;

const pack = `rulepack: yard
title: Rules of the yard
format: 1
vocabulary: small
standing: regulation
edition: {from: 2000-01-01, verified-through: 2030-01-01, picked-by: work-date}
provisions:
  - {id: boom, cite: Yard 1, source: read, gist: Tie off in a boom., duty: tie-off,
     calls-for: required, where: mechanism is boom}
  - {id: low, cite: Yard 2, source: read, gist: None below four feet., duty: tie-off,
     calls-for: not required, where: height is less than 4 ft}
  - {id: gate, cite: Yard 3, source: read, gist: Tie off at an open gate., duty: tie-off,
     calls-for: required, where: gate-open}
`;

module.exports = {texts: {'small.yaml': vocabulary, 'yard.yaml': pack}, day: '2024-06-01'};
