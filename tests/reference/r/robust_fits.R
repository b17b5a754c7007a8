# SPDX-License-Identifier: Apache-2.0
# Robust regressions by R's MASS and robustbase, for robust_fits_test.cpp to compare with.
#
#   Rscript tests/reference/r/robust_fits.R [DATASETS] > tests/reference/r/robust_fits.txt
#
# DATASETS is the folder of the open logs (default ../shared/datasets). Row rule of every log fit:
# rows of the named files, in this order, that hold all of the named columns, coolant at least
# 70 °C; of these every tenth (the 1st, 11th, ...) for the logs at 10 Hz, all for those at 1 Hz.
# One block a fit: name, estimator, rows, then coefficients, standard errors and scale.

suppressPackageStartupMessages({
  library(MASS)
  library(robustbase)
})

arguments <- commandArgs(trailingOnly = TRUE)
folder <- if (length(arguments) > 0) arguments[1] else "../shared/datasets"
options(warn = 2) # a fit that did not converge stops the script

numbers <- function(x) paste(sprintf("%.15g", x), collapse = " ")

say <- function(name, estimator, rows, coefficients, errors, scale) {
  cat(paste("fit", name, estimator), paste("rows", rows),
      paste("coefficients", numbers(coefficients)), paste("standard_errors", numbers(errors)),
      paste("scale", numbers(scale)), sep = "\n")
}

# rlm with the MAD scale (about zero, median |r| / 0.6745) to the last digits. The bisquare starts
# from the Huber fit: its loss has several minima, and this names the one.
say_rlm <- function(name, x, y) {
  huber <- rlm(x, y, psi = psi.huber, k = 1.345, scale.est = "MAD", maxit = 1000, acc = 1e-12)
  bisquare <- rlm(x, y, psi = psi.bisquare, c = 4.685, scale.est = "MAD", maxit = 1000, acc = 1e-12,
                  init = coef(huber))
  for (fit in list(list("huber", huber), list("bisquare", bisquare)))
    say(name, fit[[1]], nrow(x), coef(fit[[2]]), coef(summary(fit[[2]]))[, 2], fit[[2]]$s)
}

# MM-estimate: S-estimate (bisquare, c 1.54764, 50 % breakdown), then bisquare c 4.685061; all rows
# in the search, covariance .vcov.w (weighted design, Huber's correction).
say_lmrob <- function(name, x, y) {
  control <- lmrob.control(method = "MM", psi = "bisquare", tuning.psi = 4.685061,
                           tuning.chi = 1.54764, bb = 0.5, cov = ".vcov.w", nResample = 2000,
                           best.r.s = 10, k.max = 5000, max.it = 5000, refine.tol = 1e-12,
                           rel.tol = 1e-12, maxit.scale = 5000, scale.tol = 1e-12,
                           fast.s.large.n = Inf)
  set.seed(4)
  fit <- lmrob.fit(x, y, control)
  stopifnot(fit$converged)
  say(name, "mm", nrow(x), fit$coefficients, sqrt(diag(fit$cov)), fit$scale)
}

say_all <- function(name, x, y) {
  say_rlm(name, x, y)
  say_lmrob(name, x, y)
}

# The named columns of the logs; a heading counts by what stands before " [", since the degree sign
# is spelt in several ways.
read_rows <- function(files, columns, step) {
  rows <- do.call(rbind, lapply(files, function(file) {
    log <- read.csv(file.path(folder, file), check.names = FALSE, encoding = "UTF-8")
    names(log) <- sub(" \\[.*", "", names(log), useBytes = TRUE)
    log[, columns]
  }))
  rows <- rows[complete.cases(rows), ]
  rows <- rows[rows[, 1] >= 70, ]
  rows[seq(1, nrow(rows), by = step), ]
}

fit_log <- function(name, files, columns, step) {
  rows <- as.matrix(read_rows(files, columns, step))
  say_all(name, cbind(1, rows[, -1]), rows[, 1])
}

cat(paste("#", R.version.string), paste("# MASS", packageVersion("MASS")),
    paste("# robustbase", packageVersion("robustbase")),
    "# written by robust_fits.R; do not edit", sep = "\n")

say_all("stack_loss", cbind(1, as.matrix(stackloss[, 1:3])), stackloss[, 4])

highland <- c("engine_temperature", "engine_load_value", "speed", "temperature")
fit_log("highland_one_trip", "highland/d1_20240103_141959.csv", highland, 1)
fit_log("highland_another_trip", "highland/d3_20231123_094610.csv", highland, 1)
fit_log("highland_three_trips",
        c("highland/d2_20231222_134710.csv", "highland/d2_20231226_150915.csv",
          "highland/d5_20240111_185718.csv"), highland, 1)

two_season <- c("Engine Coolant Temperature", "Air Flow Rate from Mass Flow Sensor",
                "Vehicle Speed Sensor", "Ambient Air Temperature")
fit_log("summer_trip", "two-season/trip-2017-07-26.csv", two_season, 10)
fit_log("two_seasons", paste0("two-season/trip-",
        c("2017-07-10", "2017-07-11", "2017-07-26", "2017-07-27", "2018-02-20", "2018-02-23"),
        ".csv"), two_season, 10)
