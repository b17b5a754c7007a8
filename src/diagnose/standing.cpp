// SPDX-License-Identifier: Apache-2.0
// A graver action counts whatever it is called; the rest by its name.
#include "diagnose/standing.hpp"

namespace coolband {

bool StandingWatch::hear(const Standing& judged, double time_s) {
  const bool graver = judged.action > standing_.action;
  if (!graver) graver_from_s_.reset();
  if (judged == standing_) {
    since_s_.reset();
    return false;
  }
  if (!since_s_ || judged != candidate_) since_s_ = time_s;
  if (graver && !graver_from_s_) graver_from_s_ = time_s;
  candidate_ = judged;
  const bool stands = graver ? time_s - *graver_from_s_ >= options_.graver_s
                             : time_s - *since_s_ >= options_.other_s;
  if (!stands) return false;
  standing_ = judged;
  since_s_.reset();
  graver_from_s_.reset();
  return true;
}

} // namespace coolband
