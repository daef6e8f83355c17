// What the phone shows before the server has answered: the day as read, with
// the taps since applied in order. Pure.

import type { Item } from "../outbox";
import type { CrewDay, Feed, Stop, Work } from "../types";
import { tappedAt } from "./clock";

/** Applies what was tapped on this crew's day; refused items change nothing. */
export function withTaps(day: CrewDay, items: Item[]): CrewDay {
  const taps = items.filter((i) => i.request.crew === day.crew.id && i.request.day === day.date && i.state !== "refused");
  return taps.reduce((now, item) => ({ ...now, stops: (now.stops ?? []).map((stop) => tapped(stop, item)) }), day);
}

function tapped(stop: Stop, { request }: Item): Stop {
  const here = request.site === stop.site.id;
  const at = tappedAt(request);
  switch (request.kind) {
    case "arrive": return here ? arrived(stop, at) : stop;
    case "leave": return here ? { ...stop, left_at: at } : stop;
    case "no-access": return here ? { ...stop, left_at: at, work: (stop.work ?? []).map((w) => (w.outcome ? w : { ...w, outcome: "no-access" })) } : stop;
    case "shut-off": return onFeed(stop, request.feed, (feed) => ({ ...feed, dry_since: at, as_left: undefined }));
    case "restore": return onFeed(stop, request.feed, (feed) => ({ ...feed, dry_since: undefined, restored_at: at }));
    case "leave-feed": return onFeed(stop, request.feed, (feed) => ({ ...feed, dry_since: undefined, as_left: request.condition?.service }));
    case "tell": return onFeed(stop, request.feed, (feed) => told(feed, request, at));
    case "position": return here ? { ...stop, ask_position: false } : stop;
    case "finish-job": return onWork(stop, request, (work) => ({ ...work, outcome: request.outcome }));
    case "photo": return onWork(stop, request, (work) => ({
      ...work, photos: [...(work.photos ?? []), { event: "", at: at, sha256: request.photo!.sha256, shows: request.photo!.shows }],
    }));
    case "serial-seen": return onWork(stop, request, (work) => ({
      ...work, serials_seen: [...(work.serials_seen ?? []).filter((s) => s.part !== request.serial!.part), request.serial!],
    }));
  }
}

const onWork = (stop: Stop, request: Item["request"], change: (work: Work) => Work): Stop =>
  ({ ...stop, work: (stop.work ?? []).map((w) => (w.job === request.job && w.assembly === request.assembly ? change(w) : w)) });

/** A call on the caller's list: told before shutting, or that it is restored. */
const told = (feed: Feed, { told: call }: Item["request"], at: string): Feed => ({
  ...feed,
  ...(call?.on_test_until ? { on_test_until: call.on_test_until } : {}),
  ...(call?.when === "after" && feed.calls?.find((c) => c.role === call.role)?.on_test ? { on_test_until: undefined } : {}),
  calls: (feed.calls ?? []).map((c) => (c.role !== call?.role ? c : call.when === "after" ? { ...c, back_at: at } : { ...c, told_at: at, back_at: undefined })),
});

/** Whether a fire line is back since somebody was told that it goes out: now they are told that. */
export const isBack = (feed: Feed): boolean =>
  Boolean(feed.restored_at) && (feed.calls ?? []).some((c) => c.told_at && Date.parse(c.told_at) <= Date.parse(feed.restored_at!));

/** How feeds were left last time says nothing of how they will be left this time. */
const arrived = (stop: Stop, at: string): Stop =>
  ({ ...stop, here_since: at, left_at: undefined, feeds: (stop.feeds ?? []).map((feed) => ({ ...feed, as_left: undefined })) });

const onFeed = (stop: Stop, id: string | undefined, change: (feed: Feed) => Feed): Stop =>
  ({ ...stop, feeds: (stop.feeds ?? []).map((feed) => (feed.id === id ? change(feed) : feed)) });

/** The first stop that is not over: the one opened in place. */
export const nextStop = (day: CrewDay): Stop | null => (day.stops ?? []).find((stop) => !stop.left_at) ?? null;

/** What should be done before leaving; empty when nothing is open. */
export function unfinished(stop: Stop): { dry: Feed[]; notLeft: Feed[]; work: Work[] } {
  const feeds = stop.feeds ?? [];
  return {
    dry: feeds.filter((feed) => feed.dry_since),
    notLeft: feeds.filter((feed) => !feed.dry_since && !feed.as_left),
    work: (stop.work ?? []).filter((w) => !w.outcome),
  };
}
