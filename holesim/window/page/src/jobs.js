// Long work of the server: one piece at a time, with its progress, and a cancel.
/** @typedef {Record<string, any>} Message */
/** @typedef {{running: boolean, cancelling: boolean, done: number, total: number}} Progress */

/** What a piece of work that was cancelled ends with. */
export class Cancelled extends Error {}

/** @param {Pick<import("./api.js").Api, "start" | "cancel">} api @param {import("./live.js").News} news */
export function createJobs(api, news) {
  /** @type {Message[]} */ let early = []; // news of work whose number is not known yet
  /** @type {Map<number, (message: Message) => void>} */ const following = new Map();
  let starting = 0;
  news.listen((message) => {
    if (typeof message.job !== "number") return;
    const follow = following.get(message.job);
    if (follow !== undefined) follow(message);
    else if (starting > 0) early.push(message);
  });

  return {
    /** Start a piece of work. @param {object} order @param {(progress: Progress) => void} told hears how far it is
     * @returns {{ended: Promise<Message>, cancel: () => void}} `ended` is the last message, or why there is none */
    start(order, told) {
      let number = -1;
      const progress = { running: true, cancelling: false, done: 0, total: 0 };
      const tell = () => told({ ...progress });
      const cancel = () => {
        progress.cancelling = true;
        tell();
        if (number >= 0) void api.cancel(number).catch(() => {});
      };
      async function run() {
        starting += 1;
        tell();
        try {
          number = await api.start(order);
        } finally {
          starting -= 1;
        }
        const ended = new Promise((resolve, reject) => {
          following.set(number, (message) => {
            if (typeof message.done === "number") {
              [progress.done, progress.total] = [message.done, message.total];
              tell();
              return;
            }
            following.delete(number);
            if (message.cancelled === true) reject(new Cancelled("Cancelled."));
            else if (typeof message.error === "string") reject(new Error(message.error));
            else resolve(message);
          });
        });
        const waiting = early.filter(({ job }) => job === number);
        early = [];
        waiting.forEach((message) => following.get(number)?.(message));
        if (progress.cancelling) cancel();
        return ended;
      }
      const ended = run().finally(() => {
        progress.running = false;
        tell();
      });
      return { ended, cancel };
    },
  };
}
/** @typedef {ReturnType<typeof createJobs>} Jobs */
