// The scatter of readings while few of them are known: a prior that gives way to what they show.
#pragma once

namespace throughcure::fleet {

/// Standard deviation of one reading about the light's true output, on the logarithm, before any is known, and how many
/// readings this belief weighs as much as. Kind: "from memory": no study of repeated readings of one light on one hand
/// radiometer was found.
struct ScatterPrior {
  double sd = 0.03;
  double weight = 8;
};

struct Scatter {
  double sd = 0;
  double dof = 0;
};

/// Of `dof` degrees of freedom with this sum of squares, together with the prior: s^2 = (w sd^2 + squares) / (w + dof),
/// with w + dof degrees of freedom: the posterior of a normal variance under a scaled inverse chi-square prior.
/// Source: Gelman et al., Bayesian Data Analysis, 2.6 (from memory).
Scatter scatter_of(double squares, double dof, const ScatterPrior& prior = {});

/// The standard normal value below which as much lies as below `t` of Student's t with `dof` >= 8: Wallace 1959, Annals
/// of Mathematical Statistics 30 (from memory; within 0.014 at |t| <= 6, tested).
double normal_from_t(double t, double dof);

}  // namespace throughcure::fleet
