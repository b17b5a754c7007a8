// SPDX-License-Identifier: Apache-2.0
// What `watch` tells, one line an event.
#pragma once

#include "coolband/report/report.hpp"
#include "watch.hpp"

#include <string>

namespace coolband {

/// "0:18:30  service  thermostat stuck open: …; do: …": when, what it calls for, what it is, what
/// to do. Not wrapped, so that it stays one line for whatever reads it. Ends with a newline.
std::string render_watch_line(const WatchEvent& event, const TextStyle& style);

/// `coolband.watch/1`: one object in one line. Ends with a newline.
std::string render_watch_json(const WatchEvent& event);

/// The words of an alarm: "118.2 °C and rising 5.1 K a minute: …"
std::string heat_words(const Heat& heat, double boils_c);

/// What to do, most urgent first: of what stands, not of the last judgement.
std::vector<std::string> watch_steps(const WatchEvent& event);

/// What the event says in one sentence.
std::string watch_headline(const WatchEvent& event);

} // namespace coolband
