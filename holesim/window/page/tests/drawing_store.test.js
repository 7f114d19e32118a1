import assert from "node:assert/strict";
import { test } from "node:test";
import { Refused } from "../src/api.js";
import { ANOTHER, createDrawing, listable } from "../src/drawing/drawing_store.js";
import { geometryOf, shifted } from "../src/drawing/shapes.js";
import { createNews } from "../src/live.js";
/** @typedef {import("../src/records").Feature} Feature */

const bunker = geometryOf("area", [[0, 0], [10, 0], [0, 10]]);

/** A server of one drawing, as far as the page sees it; answers wait until `go` is called. */
function fakeServer() {
  let features = new Map([1, 2].map((id) => [id, /** @type {Feature} */ (
    { id, label: `bunker ${id}`, kind: "bunker", hole: null, tags: {}, geometry: bunker, guessed: null, noted: null })]));
  let revision = 12;
  let next = 50;
  /** @type {{says: string, before: typeof features}[]} */ const past = [];
  /** @type {string[]} */ const asked = [];
  /** @type {(() => void)[]} */ const held = [];
  /** @type {Map<string, Refused>} */ const refusals = new Map();
  const undo = () => ({ revision, can_undo: past.length > 0, can_redo: false, undo_says: past.at(-1)?.says ?? null, redo_says: null });
  const api = {
    /** @param {string} method @param {string} path @param {any} [body] @returns {Promise<any>} */
    async json(method, path, body) {
      asked.push(`${method} ${path} ${body?.says ?? ""}`.trim());
      await new Promise((go) => held.push(() => go(null)));
      if (method === "GET") {
        return { name: "a.geojson", title: "A", nowhere: true, pictures: [], versions: [], saved: true, clash: null, features: [...features.values()], ...undo() };
      }
      if (body.revision !== revision) throw new Refused(412, "The drawing has gone on.");
      const refusal = refusals.get(body.says);
      if (refusal !== undefined) throw refusal;
      const before = features;
      if (path.endsWith("/undo")) features = past.pop()?.before ?? features;
      else {
        features = new Map(features);
        for (const change of body.changes) {
          if (change.add !== undefined) features.set(next, { id: next++, label: "new", hole: null, guessed: null, noted: null, ...change.add });
          else if (change.remove === true) features.delete(change.id);
          else if (features.has(change.id)) features.set(change.id, { .../** @type {Feature} */ (features.get(change.id)), ...change });
          else throw new Refused(422, `There is no ${change.id}.`);
        }
        past.push({ says: body.says, before });
      }
      revision++;
      return {
        features: [...features.values()].filter((one) => before.get(one.id) !== one),
        removed: [...before.keys()].filter((id) => !features.has(id)), ...undo(),
      };
    },
  };
  return {
    api, asked, refusals,
    /** Answer one request, the oldest. */
    async go() {
      while (held.length === 0) await new Promise((soon) => setTimeout(soon));
      held.shift()?.();
      await new Promise((soon) => setTimeout(soon, 2));
    },
    waiting: () => held.length,
    /** Another window draws. @param {number} id */
    elsewhere(id) {
      features = new Map(features);
      features.set(id, { .../** @type {Feature} */ (features.get(1)), id });
      revision++;
      return revision;
    },
  };
}

async function opened() {
  const server = fakeServer();
  const news = createNews();
  const drawing = createDrawing(server.api, news);
  const open = drawing.open("a.geojson");
  await server.go();
  await open;
  return { server, news, drawing };
}
const xOf = (/** @type {import("../src/records").DrawingState} */ { features }, /** @type {number} */ id) =>
  /** @type {any} */ (features.get(id)?.geometry)?.coordinates[0][0][0];

test("a drawing is opened with its revision and its features", async () => {
  const { drawing } = await opened();
  const { name, revision, features, saved } = drawing.get();
  assert.deepEqual([name, revision, features.size, saved], ["a.geojson", 12, 2, true]);
});

test("steps are drawn at once and sent one after the other, each on the revision of the last", async () => {
  const { server, drawing } = await opened();
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  drawing.edit("bunker moved again", [{ id: 1, geometry: shifted(bunker, 7, 0) }]);
  assert.equal(xOf(drawing.get(), 1), 7);
  assert.equal(drawing.get().waiting, 2);
  assert.equal(server.waiting(), 1);
  await server.go();
  assert.equal(xOf(drawing.get(), 1), 7, "the first answer does not bring the shape back");
  await server.go();
  assert.deepEqual([drawing.get().revision, drawing.get().waiting, drawing.get().undoSays], [14, 0, "bunker moved again"]);
  assert.deepEqual(server.asked.slice(1), ["POST /api/drawings/a.geojson/steps bunker moved", "POST /api/drawings/a.geojson/steps bunker moved again"]);
});

test("what is new can be moved and is selected before the server has named it", async () => {
  const { server, drawing } = await opened();
  const [id] = drawing.edit("bunker drawn", [{ add: { kind: "bunker", geometry: bunker, tags: {} } }]);
  assert.ok(id < 0);
  drawing.set({ selected: id });
  drawing.edit("bunker moved", [{ id, geometry: shifted(bunker, 3, 0) }]);
  assert.equal(xOf(drawing.get(), id), 3);
  await server.go();
  assert.equal(drawing.get().selected, 50);
  assert.equal(xOf(drawing.get(), 50), 3);
  assert.equal(drawing.get().features.has(id), false);
  await server.go();
  assert.equal(xOf(drawing.get(), 50), 3);
  drawing.edit("bunker moved", [{ id, geometry: shifted(bunker, 4, 0) }]); // still by the id that was given here
  await server.go();
  assert.equal(xOf(drawing.get(), 50), 4);
});

test("a step that is refused is undone here and told, and what came after it stays", async () => {
  const { server, drawing } = await opened();
  server.refusals.set("bad", new Refused(422, "A line needs two places."));
  const [id] = drawing.edit("bad", [{ add: { kind: "bunker", geometry: bunker, tags: {} } }]);
  drawing.edit("its move", [{ id, geometry: shifted(bunker, 3, 0) }]);
  drawing.edit("good", [{ id: 2, geometry: shifted(bunker, 9, 0) }]);
  await server.go();
  assert.equal(drawing.get().features.size, 2);
  await server.go();
  assert.equal(xOf(drawing.get(), 2), 9);
  assert.deepEqual(server.asked.slice(1).map((line) => line.split(" ").slice(2).join(" ")), ["bad", "good"]);
  assert.equal(drawing.get().waiting, 0);
});

test("the line of a refusal is shown", async () => {
  const { server, drawing } = await opened();
  server.refusals.set("bad", new Refused(422, "A line needs two places."));
  drawing.edit("bad", [{ id: 1, geometry: shifted(bunker, 3, 0) }]);
  await server.go();
  assert.equal(drawing.get().message, "A line needs two places.");
  assert.equal(xOf(drawing.get(), 1), 0);
});

test("undo comes after what was drawn before it", async () => {
  const { server, drawing } = await opened();
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  drawing.undo();
  await server.go();
  await server.go();
  assert.equal(xOf(drawing.get(), 1), 0);
  assert.equal(drawing.get().canUndo, false);
});

test("what is undone is not saved until the server says so, even if it says so first", async () => {
  const { server, news, drawing } = await opened();
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  await server.go();
  assert.equal(drawing.get().saved, false);
  news.tell({ drawing: "a.geojson", saved: 13 });
  assert.equal(drawing.get().saved, true);
  drawing.undo();
  await server.go();
  assert.equal(drawing.get().saved, false);
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  news.tell({ drawing: "a.geojson", saved: 15 });
  await server.go();
  assert.equal(drawing.get().saved, true);
});

test("a drawing is listed anew once it is on disk as it was checked, even if the check is told before its step is answered", async () => {
  const { server, news, drawing } = await opened();
  const check = (/** @type {number} */ checked, usable = true) => news.tell({ drawing: "a.geojson", checked, usable, says: [], holes: [] });
  check(12);
  assert.equal(listable(drawing.get()), true);
  drawing.edit("bunker crossed", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  await server.go();
  check(13, false);
  news.tell({ drawing: "a.geojson", saved: 13 });
  drawing.undo();
  check(14); // the disk still has what is crossed
  assert.equal(listable(drawing.get()), false);
  await server.go();
  news.tell({ drawing: "a.geojson", saved: 14 });
  assert.equal(listable(drawing.get()), true);
});

test("where another window drew, the drawing is got again, and that is said", async () => {
  const { server, drawing } = await opened();
  server.elsewhere(7);
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  await server.go(); // refused
  await server.go(); // got again
  assert.equal(drawing.get().features.has(7), true);
  assert.equal(xOf(drawing.get(), 1), 0);
  assert.match(drawing.get().message, /Another window drew/);
  assert.match(drawing.get().message, /"bunker moved"/);
});

test("the news that another window drew has the drawing got again; the news of an own step does not", async () => {
  const { server, news, drawing } = await opened();
  news.tell({ drawing: "a.geojson", revision: server.elsewhere(7) });
  await server.go();
  assert.equal(drawing.get().features.has(7), true);
  assert.equal(drawing.get().message, ANOTHER);
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  news.tell({ drawing: "a.geojson", revision: 14 });
  await server.go();
  assert.equal(server.waiting(), 0);
  assert.equal(drawing.get().message, "");
  assert.equal(server.asked.filter((line) => line.startsWith("GET")).length, 2);
});

test("the words of the check, of the latest revision, and what is saved, are taken in", async () => {
  const { news, drawing } = await opened();
  const says = [{ ids: [1], hole: null, kind: /** @type {const} */ ("fault"), text: "crosses itself", at: null }];
  news.tell({ drawing: "a.geojson", checked: 12, usable: false, says, holes: [] });
  news.tell({ drawing: "b.geojson", checked: 15, usable: true, says: [], holes: [] });
  news.tell({ drawing: "a.geojson", checked: 11, usable: true, says: [], holes: [] });
  assert.deepEqual([drawing.get().usable, drawing.get().says], [false, says]);
  news.tell({ drawing: "a.geojson", clash: "a.geojson: was changed outside" });
  assert.deepEqual([drawing.get().clash, drawing.get().saved], ["a.geojson: was changed outside", false]);
  news.tell({ drawing: "a.geojson", saved: 12 });
  assert.deepEqual([drawing.get().clash, drawing.get().saved], [null, true]);
});

test("news of a drawing that comes before the drawing itself is kept", async () => {
  const server = fakeServer();
  const news = createNews();
  const drawing = createDrawing(server.api, news);
  const open = drawing.open("a.geojson");
  news.tell({ drawing: "a.geojson", checked: 12, usable: true, says: [], holes: [] });
  news.tell({ drawing: "b.geojson", checked: 99, usable: true, says: [], holes: [] });
  await server.go();
  await open;
  assert.deepEqual([drawing.get().checked, drawing.get().usable], [12, true]);
});

test("what was on its way to a drawing is not put into the next one", async () => {
  const { server, drawing } = await opened();
  drawing.edit("bunker moved", [{ id: 1, geometry: shifted(bunker, 5, 0) }]);
  const open = drawing.open("a.geojson");
  await server.go(); // the step
  await server.go(); // the opening
  await open;
  assert.equal(drawing.get().waiting, 0);
  assert.equal(drawing.get().revision, 13);
  drawing.edit("bunker moved", [{ id: 2, geometry: shifted(bunker, 5, 0) }]);
  await server.go();
  assert.equal(drawing.get().revision, 14);
});
