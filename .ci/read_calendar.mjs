// Prints every event of a calendar file as ical.js reads it, one JSON line each, repetitions written out:
// its UTC instant, its length in seconds, its categories and its summary. The only time zones it is given are
// those of the file, so that what the file says of them is what is read.

import { readFileSync } from "node:fs";
import ICAL from "ical.js";

const MOST_REPETITIONS = 10000; // a rule without an end must not run for ever

const rootOf = (path) => new ICAL.Component(ICAL.parse(readFileSync(path, "utf8")));

function useOnlyZonesOf(calendar) {
  ICAL.TimezoneService.reset();
  for (const zone of calendar.getAllSubcomponents("vtimezone")) {
    if (zone.getAllSubcomponents().some((part) => part.hasProperty("rrule") || part.hasProperty("rdate"))) {
      throw new Error("a time zone whose onsets are not all written out");
    }
    ICAL.TimezoneService.register(zone);
  }
}

function insistOnZone(event) {
  for (const name of ["dtstart", "exdate", "rdate", "recurrence-id"]) {
    for (const property of event.getAllProperties(name)) {
      const wanted = property.getParameter("tzid") ?? "UTC";
      for (const time of property.getValues()) {
        if (time.zone.tzid !== wanted) throw new Error(`${name} is read in ${time.zone.tzid}, not ${wanted}`);
      }
    }
  }
}

const written = (seconds) => new Date(seconds * 1000).toISOString().replace(".000Z", "Z");

function* ringsOf(component) {
  const event = new ICAL.Event(component, { strictExceptions: true });
  const repetitions = event.iterator();
  let count = 0;
  for (let next = repetitions.next(); next; next = repetitions.next()) {
    if (++count > MOST_REPETITIONS) throw new Error(`${event.uid} repeats more than ${MOST_REPETITIONS} times`);
    const { item, startDate } = event.getOccurrenceDetails(next);
    yield {
      utc: written(startDate.toUnixTime()),
      seconds: item.duration.toSeconds(),
      categories: item.component.getAllProperties("categories").flatMap((property) => property.getValues()),
      summary: item.summary,
    };
  }
}

const calendar = rootOf(process.argv[2]);
useOnlyZonesOf(calendar);
const events = calendar.getAllSubcomponents("vevent");
events.forEach(insistOnZone);
const series = events.filter((event) => !event.hasProperty("recurrence-id"));
const rings = series.flatMap((event) => [...ringsOf(event)]);
process.stdout.write(rings.map((ring) => `${JSON.stringify(ring)}\n`).join(""));
