/** What was done to marks in this session, to go back and forth in without end. */

/** One thing as it was and as it became; `null` where it was not there. */
export interface Change {
  thing: string;
  before: unknown;
  after: unknown;
}

/** Changes that belong together: what one touch did. */
export interface Edit {
  what: string;
  changes: readonly Change[];
}

export interface Done {
  past: readonly Edit[];
  future: readonly Edit[];
}

export const NOTHING_DONE: Done = { past: [], future: [] };

/** What is done anew leaves no way forth to what was undone before. */
export const did = (done: Done, edit: Edit): Done => ({ past: [...done.past, edit], future: [] });

const inverse = ({ what, changes }: Edit): Edit => ({
  what,
  changes: [...changes].reverse().map(({ thing, before, after }) => ({ thing, before: after, after: before })),
});

/** What is to be said so that the last edit is gone, and what is left. */
export function undone(done: Done): { say: Edit; done: Done } | null {
  const last = done.past[done.past.length - 1];
  return last === undefined
    ? null
    : { say: inverse(last), done: { past: done.past.slice(0, -1), future: [...done.future, last] } };
}

export function redone(done: Done): { say: Edit; done: Done } | null {
  const next = done.future[done.future.length - 1];
  return next === undefined
    ? null
    : { say: next, done: { past: [...done.past, next], future: done.future.slice(0, -1) } };
}
