/** BLAKE3 of a file's bytes: the name by which the record holds it. Browsers have no such hash. */

const IV = Uint32Array.of(
  0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
);
const ORDER = [2, 6, 3, 10, 7, 0, 4, 13, 1, 11, 12, 5, 9, 14, 15, 8];
const [START, END, PARENT, ROOT] = [1, 2, 4, 8];
const CHUNK = 1024;
const BLOCK = 64;

/** Which words of the block each of the seven rounds takes, in its order. */
const SCHEDULE = (() => {
  const rounds = [Array.from({ length: 16 }, (_, at) => at)];
  for (let round = 1; round < 7; round += 1) {
    const before = rounds[round - 1] ?? [];
    rounds.push(ORDER.map((from) => before[from] ?? 0));
  }
  return Uint8Array.from(rounds.flat());
})();

const state = new Uint32Array(16);

function mix(a: number, b: number, c: number, d: number, x: number, y: number): void {
  const s = state as unknown as number[];
  let [va, vb, vc, vd] = [s[a]!, s[b]!, s[c]!, s[d]!];
  va = (va + vb + x) | 0;
  vd ^= va;
  vd = (vd >>> 16) | (vd << 16);
  vc = (vc + vd) | 0;
  vb ^= vc;
  vb = (vb >>> 12) | (vb << 20);
  va = (va + vb + y) | 0;
  vd ^= va;
  vd = (vd >>> 8) | (vd << 24);
  vc = (vc + vd) | 0;
  vb ^= vc;
  vb = (vb >>> 7) | (vb << 25);
  s[a] = va;
  s[b] = vb;
  s[c] = vc;
  s[d] = vd;
}

/** The first eight words of a block's compression. */
function compress(chain: Uint32Array, words: Uint32Array, counter: number, length: number, flags: number): Uint32Array {
  state.set(chain);
  state.set(IV.subarray(0, 4), 8);
  state[12] = counter % 0x1_0000_0000;
  state[13] = Math.floor(counter / 0x1_0000_0000);
  state[14] = length;
  state[15] = flags;
  for (let round = 0; round < 112; round += 16) {
    const word = (at: number) => words[SCHEDULE[round + at]!]!;
    mix(0, 4, 8, 12, word(0), word(1));
    mix(1, 5, 9, 13, word(2), word(3));
    mix(2, 6, 10, 14, word(4), word(5));
    mix(3, 7, 11, 15, word(6), word(7));
    mix(0, 5, 10, 15, word(8), word(9));
    mix(1, 6, 11, 12, word(10), word(11));
    mix(2, 7, 8, 13, word(12), word(13));
    mix(3, 4, 9, 14, word(14), word(15));
  }
  const out = new Uint32Array(8);
  for (let at = 0; at < 8; at += 1) {
    out[at] = state[at]! ^ state[at + 8]!;
  }
  return out;
}

/** A node of the tree whose last block is still to be compressed: as the root or not. */
interface Node {
  chain: Uint32Array;
  words: Uint32Array;
  counter: number;
  length: number;
  flags: number;
}

const closed = (node: Node, flags = 0): Uint32Array =>
  compress(node.chain, node.words, node.counter, node.length, node.flags | flags);

const parent = (left: Uint32Array, right: Uint32Array): Node => {
  const words = new Uint32Array(16);
  words.set(left);
  words.set(right, 8);
  return { chain: IV, words, counter: 0, length: BLOCK, flags: PARENT };
};

function wordsOf(bytes: Uint8Array): Uint32Array {
  const words = new Uint32Array(16);
  for (let at = 0; at < bytes.length; at += 1) {
    words[at >> 2]! |= bytes[at]! << (8 * (at & 3));
  }
  return words;
}

function chunk(bytes: Uint8Array, counter: number): Node {
  let chain: Uint32Array = IV;
  const blocks = Math.max(1, Math.ceil(bytes.length / BLOCK));
  for (let at = 0; ; at += 1) {
    const part = bytes.subarray(at * BLOCK, (at + 1) * BLOCK);
    const flags = (at === 0 ? START : 0) | (at === blocks - 1 ? END : 0);
    const node = { chain, words: wordsOf(part), counter, length: part.length, flags };
    if (at === blocks - 1) {
      return node;
    }
    chain = closed(node);
  }
}

/** The hash as 64 hexadecimal digits, lower case. */
export function blake3(bytes: Uint8Array): string {
  const stack: Uint32Array[] = [];
  const chunks = Math.max(1, Math.ceil(bytes.length / CHUNK));
  for (let at = 0; at < chunks - 1; at += 1) {
    let value = closed(chunk(bytes.subarray(at * CHUNK, (at + 1) * CHUNK), at));
    // Every pair of whole trees of one size becomes one tree.
    for (let whole = at + 1; whole % 2 === 0; whole /= 2) {
      value = closed(parent(stack.pop()!, value));
    }
    stack.push(value);
  }
  let node = chunk(bytes.subarray((chunks - 1) * CHUNK), chunks - 1);
  while (stack.length > 0) {
    node = parent(stack.pop()!, closed(node));
  }
  const root = closed(node, ROOT);
  const digits = (word: number) =>
    [0, 8, 16, 24].map((shift) => ((word >>> shift) & 0xff).toString(16).padStart(2, "0")).join("");
  return Array.from(root, digits).join("");
}
