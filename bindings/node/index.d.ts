// Types of the package. Texts are UTF-16 as everywhere in JavaScript; values of facts are written as
// a person would ("14 ft", "scissor", "yes", "2024-06-01").

export type Outcome =
  | 'required' | 'required with exception' | 'not required' | 'not addressed' | 'undetermined';
export type Perhaps = 'no' | 'possibly' | 'yes';
export type Status = 'stands' | 'falls' | 'open' | 'displaced';

/** null: not known. "does not apply" is a value, too. */
export type Plain = string | number | bigint | boolean | null;
export type Facts = Record<string, Plain | { value: Plain; from?: string }>;

export interface Place {
  file: string;
  /** From 1; 0 concerns a whole file. Columns and length count characters. */
  line: number;
  column: number;
  length: number;
}

export interface Finding extends Place {
  /** Stable, such as "unknown-name". */
  code: string;
  severity: 'error' | 'warning' | 'note';
  message: string;
  help?: string;
  others: (Place & { says: string })[];
}

/** A call that the library refused. */
export class ToprailError extends Error {
  /** "bad-argument", "bad-handle" (it was closed), "no-such", "not-built", "no-memory", ... */
  status: string;
}

/** Packs or facts cannot be used. */
export class FindingsError extends ToprailError {
  findings: Finding[];
}

export interface Duty {
  outcome: Outcome;
  possible: Outcome[];
  'settled-by': string[];
  'ask-next'?: string;
  'act-as-if'?: Outcome;
  'waits-for-plan'?: boolean;
  /** false: no provision that may govern speaks of it; the first duty is told even so. */
  'spoken-of'?: false;
  exact?: boolean;
  conditional?: { if: string; then: string }[];
  contested?: Perhaps;
  terms?: Record<string, string>;
  provisions: string[];
}

export interface Choice {
  admissible: string[];
  barred: Record<string, string[]>;
  open: Record<string, string[]>;
  empty: Perhaps;
  'settled-by': string[];
}

export interface Bound {
  'at-most'?: string;
  'at-least'?: string;
  provision: string;
  status: Status;
  strictest: boolean;
  if?: string;
}

export interface Step {
  provision: string;
  status: Status;
  effect: string;
  cite: string;
  'also-cite'?: string[];
  'adopted-by'?: string;
  standing: string;
  source: string;
  'source-note'?: string;
  gist: string;
  'in-force'?: string;
  because: { says: string; truth: 'true' | 'false' | 'unknown'; facts: string[] }[];
  'displaced-by'?: string[];
}

/** The JSON of a decision; the README describes its keys. */
export interface Decision {
  case: string;
  on: string;
  duties: Record<string, Duty>;
  choices: Record<string, Choice>;
  limits: Record<string, { value?: string; bounds: Bound[] }>;
  fit: {
    about: 'duty' | 'choice' | 'limit';
    name: string;
    verdict: 'met' | 'not met' | 'open';
    reason: string;
    provisions: string[];
  }[];
  quantities: { quantity: string; reads: string; value: string; formula?: string; 'filled-in'?: string }[];
  governing: {
    authority: string;
    title: string;
    standing: string;
    governs: Perhaps;
    named: boolean;
    provisions: string[];
    'settled-by': string[];
  }[];
  trail: Step[];
  cautions: string[];
  packs: Record<string, unknown>[];
  facts: Record<string, { value: string; from?: string }>;
}

export interface DecideOptions {
  /** Ids of the authorities that govern; none: the governing rulepack decides who does. */
  authorities?: string[];
  /** Work allowed for exact answers on unknown facts, in diagram nodes; 0: the usual. */
  budget?: number;
  caseName?: string;
}

export interface ReceiptOptions extends Omit<DecideOptions, 'caseName'> {
  /** 32 secret random bytes, different for each receipt: facts can then be taken out later. */
  seed?: Uint8Array;
}

/** Immutable. The deciding date `on` is written as 2024-06-01. */
export class Shelf {
  private constructor();
  /** Throws FindingsError, ToprailError; TypeError and RangeError for values that are none. */
  decide(facts: Facts, on: string, options?: DecideOptions): Decision;
  /** The same off the main thread. */
  decideLater(facts: Facts, on: string, options?: DecideOptions): Promise<Decision>;
  /** Off the main thread. One answer for each case, in order; one that cannot be used holds up none. */
  decideMany(
    cases: Iterable<Facts>, on: string, options?: DecideOptions,
  ): Promise<(Decision | FindingsError)[]>;
  /** The sheet for people. */
  sheet(
    facts: Facts, on: string, options?: DecideOptions & { length?: 'answer' | 'reasons' | 'everything' },
  ): string;
  /** One line of UTF-8, without its end. */
  receipt(facts: Facts, on: string, caseName?: string, options?: ReceiptOptions): Buffer;
  receiptLater(facts: Facts, on: string, caseName?: string, options?: ReceiptOptions): Promise<Buffer>;
  /** Made off the main thread. */
  plan(on: string, options?: { authorities?: string[]; duties?: string[] }): Promise<Plan>;
  /** Gives the memory back now rather than when the collector gets to it. Later calls are refused. */
  close(): void;
}

/** One fact of all cases. Typed arrays are read where they lie: leave them alone, and in this thread,
 * until the promise is settled. */
export type Column =
  | string[]
  /** BigInt64Array: whole numbers of the unit. Float64Array: shortest decimals of it, NaN not known. */
  | { values: BigInt64Array | Float64Array; unit?: string }
  /** Numbers of the texts; below zero: not known. */
  | { codes: Int8Array; texts: string[] }
  /** Bytes that Plan.classOf gave. */
  | { classes: Uint8Array };

export interface ColumnsOptions {
  /** Needed where there is no column. */
  cases?: number;
  threads?: number;
  /** No exact search: more may stay undetermined, never less. */
  quick?: boolean;
  budget?: number;
}

/** Immutable: a shelf made ready for very many cases of one day. */
export class Plan {
  private constructor();
  readonly facts: { fact: string; used: boolean; needsValues: boolean; classes: number }[];
  readonly duties: string[];
  classOf(fact: string, value: string): number;
  /** Off the main thread. A fact without a column is not known. A byte is a place in outcomeWords. */
  decide(columns: Record<string, Column>, options?: ColumnsOptions): Promise<{
    outcomes: Record<string, Uint8Array>;
    report: { searched: number; withoutValues: number; noAnswer: number };
  }>;
  close(): void;
}

/** Loads all rulepacks below the folders, off the main thread. Throws FindingsError. */
export function load(...folders: string[]): Promise<Shelf>;
/** The same, at once. */
export function loadNow(...folders: string[]): Shelf;
/** From names and texts of files. */
export function loadTexts(texts: Record<string, string>): Shelf;

export const version: string;
export const hasReceipts: boolean;
export const hasPlans: boolean;
export const outcomeWords: readonly [
  'required', 'required with exception', 'not required', 'not addressed', 'undetermined', 'no answer'];
export const classNotKnown: 255;
export const classDoesNotApply: 254;
export const numberNotKnown: bigint;
export const numberDoesNotApply: bigint;
