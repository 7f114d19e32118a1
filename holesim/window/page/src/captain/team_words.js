// A team as it is put together in the form, and as its file says it.
/** @typedef {import("../records").TeamForm} TeamForm */
/** @typedef {import("../records").PersonForm} PersonForm */
/** @typedef {Record<string, any>} Content */

/** A form of a new team. @returns {TeamForm} */
export function newTeam() {
  return { name: "", seen: null, title: "", people: { players: [], opponents: [] }, order_known: false, places: "", men: "", women: "", allowance: "", rest: {} };
}

/** @returns {PersonForm} */
export function newPerson() {
  return { file: "", name: "", handicap: "", speed: "", sex: "man" };
}

/** How a golfer's file is named in a team's file. @param {string} golfer @param {string} team */
export function relative(golfer, team) {
  const [from, to] = [team.split("/").slice(0, -1), golfer.split("/")];
  while (from.length > 0 && from[0] === to[0]) {
    from.shift();
    to.shift();
  }
  return [...from.map(() => ".."), ...to].join("/");
}

/** The form of a team of the folder. @param {import("../records").TeamShown} shown @param {string} format @returns {TeamForm} */
export function formOf(shown, format) {
  const { players = [], opponents = [], name: title, order_known = false, places, tees = {}, allowances = {}, ...rest } = shown.content;
  const person = (/** @type {Content} */ one) => ({
    ...newPerson(), file: one.file ?? "", name: one.name ?? "", handicap: text(one.handicap_index), speed: text(one.club_speed_mph), sex: one.sex ?? "man",
  });
  const { [format]: allowance, ...others } = allowances;
  return {
    name: shown.name, seen: shown.sha256, title, people: { players: players.map(person), opponents: opponents.map(person) }, order_known,
    places: text(places), men: tees.man ?? "", women: tees.woman ?? "", rest: { ...rest, allowances: others },
    allowance: allowance === undefined ? "" : [allowance].flat().map((share) => Math.round(share * 1000) / 10).join(" "),
  };
}
const text = (/** @type {number | undefined} */ value) => (value === undefined ? "" : String(value));

/** A handicap as golfers write it, a plus for better than scratch, as a number. @param {string} typed */
export function handicapOf(typed) {
  const plain = typed.trim().replace("−", "-").replace(",", ".");
  const number = plain.startsWith("+") ? -Number(plain.slice(1)) : Number(plain);
  return plain === "" ? Number.NaN : number;
}

/** What the team's file is to say, or what is wrong. @param {TeamForm} form @param {string} format
 * @returns {{content: Content} | {mistake: string}} */
export function contentOf(form, format) {
  /** @type {Content} */ const people = {};
  for (const [kind, rows] of Object.entries(form.people)) {
    people[kind] = [];
    for (const { file, name, handicap, speed, sex } of rows) {
      if (file !== "") people[kind].push({ file });
      else {
        const [index, mph] = [handicapOf(handicap), Number(speed)];
        const who = name === "" ? `one of the ${kind}` : name;
        if (!Number.isFinite(index)) return { mistake: `Give a handicap for ${who}.` };
        if (speed === "" || !Number.isFinite(mph)) return { mistake: `Give a club speed in mph for ${who}.` };
        people[kind].push({ ...(name === "" ? {} : { name }), handicap_index: index, club_speed_mph: mph, sex });
      }
    }
  }
  if (form.title.trim() === "") return { mistake: "Give the team a name." };
  if (people.players.length === 0) return { mistake: "Choose at least one player." };
  const shares = form.allowance.trim() === "" ? [] : form.allowance.replace(/%/g, " ").trim().split(/[\s,/]+/).map((share) => Number(share) / 100);
  if (shares.some((share) => !Number.isFinite(share)) || shares.length > 2) return { mistake: "Give the allowance as one number, or two: 60 40." };
  const tees = { ...(form.men === "" ? {} : { man: form.men }), ...(form.women === "" ? {} : { woman: form.women }) };
  const allowances = { ...form.rest.allowances, ...(shares.length === 0 ? {} : { [format]: shares.length === 1 ? shares[0] : shares }) };
  return {
    content: {
      ...form.rest, name: form.title.trim(), ...people, order_known: form.order_known,
      ...(form.places === "" ? {} : { places: Number(form.places) }), tees, allowances,
    },
  };
}
