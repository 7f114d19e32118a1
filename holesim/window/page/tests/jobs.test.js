import assert from "node:assert/strict";
import { test } from "node:test";
import { Cancelled, createJobs } from "../src/jobs.js";
import { createNews } from "../src/live.js";

/** A server that starts work 7, and what was cancelled. */
function server() {
  const news = createNews();
  /** @type {number[]} */ const cancelled = [];
  const api = {
    start: async () => 7,
    cancel: async (/** @type {number} */ number) => {
      cancelled.push(number);
      return new Response();
    },
  };
  return { jobs: createJobs(api, news), news, cancelled };
}
const soon = () => new Promise((resolve) => setTimeout(resolve));

test("work tells how far it is and what came of it", async () => {
  const { jobs, news } = server();
  /** @type {import("../src/jobs.js").Progress[]} */ const heard = [];
  const { ended } = jobs.start({}, (progress) => heard.push(progress));
  await soon();
  news.tell({ job: 6, done: 9, total: 9 });
  news.tell({ job: 7, done: 1, total: 3 });
  news.tell({ job: 7, answer: { strokes: 4 } });
  assert.deepEqual((await ended).answer, { strokes: 4 });
  assert.deepEqual(heard.map(({ running, done, total }) => [running, done, total]), [[true, 0, 0], [true, 1, 3], [false, 1, 3]]);
});

test("saving tells its progress, and its files at the end", async () => {
  const { jobs, news } = server();
  /** @type {number[][]} */ const heard = [];
  const { ended } = jobs.start({ kind: "plan" }, ({ done, total }) => heard.push([done, total]));
  await soon();
  news.tell({ job: 7, done: 3, total: 36 });
  news.tell({ job: 7, files: ["plans/x/card.pdf"] });
  assert.deepEqual((await ended).files, ["plans/x/card.pdf"]);
  assert.deepEqual(heard.slice(0, 2), [[0, 0], [3, 36]]);
});

test("news that come before the number is known count", async () => {
  const { jobs, news } = server();
  const { ended } = jobs.start({}, () => {});
  news.tell({ job: 7, answer: {} });
  assert.deepEqual((await ended).answer, {});
});

test("an error is its line, and what was cancelled says so", async () => {
  const first = server();
  const failed = first.jobs.start({}, () => {}).ended;
  await soon();
  first.news.tell({ job: 7, error: "drives.csv, line 3: is no number" });
  await assert.rejects(failed, { message: "drives.csv, line 3: is no number" });
  const second = server();
  const work = second.jobs.start({}, () => {});
  work.cancel(); // before its number is known
  await soon();
  assert.deepEqual(second.cancelled, [7]);
  second.news.tell({ job: 7, cancelled: true });
  await assert.rejects(work.ended, Cancelled);
});
