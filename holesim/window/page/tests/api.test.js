import assert from "node:assert/strict";
import { test } from "node:test";
import { passIn, sha256, tokenIn } from "../src/api.js";

test("only what has the form of a token is taken for one", () => {
  const token = "aB3_-".repeat(9).slice(0, 43);
  assert.equal(tokenIn(`#${token}`), token);
  for (const other of ["", "#", "#plan", `#${token}x`, `#${token.slice(1)}`, `#${token.slice(1)}/`]) assert.equal(tokenIn(other), "");
});

test("the SHA-256 of a file", async () => {
  // The example of one block in FIPS 180-2, appendix B.1.
  assert.equal(await sha256(new Blob(["abc"])), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
});

test("a pass for one use is told from a token", () => {
  const token = "a".repeat(43);
  assert.equal(passIn(`#once=${token}`), token);
  assert.equal(passIn(`#${token}`), "");
  assert.equal(tokenIn(`#once=${token}`), "");
  assert.equal(passIn("#once=short"), "");
});
