import assert from "node:assert/strict";
import { test } from "node:test";
import { compassPoint, parseWind, turned, windOnHole, windText, windWords } from "../src/planning/wind.js";

const south_west = { mph: 14, from_deg: 225 };

for (const text of [
  "SW 14", "14 SW", "sw14", "225 14", "14@225", "14 @ 225", "14 from 225", "14 mph from 225°", "225° 14",
  "14 mph from the south-west", "South West, 14 mph", "southwesterly 14", "from 225 at 14", "14 225", "wind SW at 14 miles per hour",
]) {
  test(`"${text}" is read`, () => assert.deepEqual(parseWind(text), south_west));
}

test("compass points to sixteen", () => {
  assert.deepEqual(parseWind("12 nnw"), { mph: 12, from_deg: 337.5 });
  assert.deepEqual(parseWind("12 mph from the east-north-east"), { mph: 12, from_deg: 67.5 });
  assert.deepEqual(parseWind("12 mph from the west"), { mph: 12, from_deg: 270 });
});

test("calm, and other units", () => {
  assert.deepEqual(parseWind("calm"), { mph: 0, from_deg: 0 });
  assert.deepEqual(parseWind("0"), { mph: 0, from_deg: 0 });
  assert.deepEqual(parseWind("N 20 km/h"), { mph: 12, from_deg: 0 });
  assert.deepEqual(parseWind("N 10 knots"), { mph: 12, from_deg: 0 });
  assert.deepEqual(parseWind("360 8"), { mph: 8, from_deg: 0 });
});

test("directions and speeds that could be either way round: the direction comes first", () => {
  assert.deepEqual(parseWind("30 20"), { mph: 20, from_deg: 30 });
});

for (const [text, said] of [
  ["", /No wind is written/], ["SW", /How hard/], ["14", /Where does it come from/], ["SW 70", /up to 60 mph/],
  ["400 12", /0 to 360/], ["breezy 12", /“breezy” is not understood/], ["SW 14 12", /number too many/],
]) {
  test(`"${text}" is refused in one plain line`, () => {
    const wind = parseWind(/** @type {string} */ (text));
    assert.ok("error" in wind);
    assert.match(wind.error, /** @type {RegExp} */ (said));
    assert.ok(!wind.error.includes("\n"));
  });
}

test("what is shown can be read again", () => {
  for (let from_deg = 0; from_deg < 360; from_deg += 7.5) {
    const wind = { mph: 9, from_deg };
    assert.deepEqual(parseWind(windText(wind)), wind);
  }
});

test("winds on a hole, in words", () => {
  assert.equal(windOnHole({ mph: 5, from_deg: 90 }, 90), "hurting");
  assert.equal(windOnHole({ mph: 5, from_deg: 180 }, 90), "from the right");
  assert.equal(windOnHole({ mph: 5, from_deg: 0 }, 180), "helping");
  assert.equal(windWords(south_west, 270), "14 mph from 225°, hurting from the left");
  assert.equal(windWords({ mph: 0, from_deg: 10 }, 270), "calm");
  assert.equal(compassPoint(359), "N");
  assert.equal(turned(-90), 270);
});
