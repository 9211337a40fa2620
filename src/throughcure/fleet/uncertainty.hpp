// Uncertainties joined into one, as the Guide to the Expression of Uncertainty in Measurement does it.
#pragma once

#include <limits>
#include <span>
#include <vector>

namespace throughcure::fleet {

/// What one input adds to the uncertainty of a result: |sensitivity| times standard uncertainty, in the unit of the
/// result, and the degrees of freedom behind it.
struct Contribution {
  double u = 0;
  double dof = std::numeric_limits<double>::infinity();
};

struct CombinedUncertainty {
  double u = 0;
  double effective_dof = std::numeric_limits<double>::infinity();
};

/// Independent inputs: u^2 = sum u_i^2, effective degrees of freedom by Welch and Satterthwaite.
/// Source: JCGM 100:2008 (GUM), 5.1.2 and G.4 (standard).
CombinedUncertainty combined(std::span<const Contribution> contributions);

/// The factor k by which u is multiplied for an interval of this coverage, 0 < coverage < 1: Student's t, with the
/// degrees of freedom cut down to a whole number, at least 1; normal where they are infinite. Source: GUM G.4
/// (standard).
double coverage_factor(double effective_dof, double coverage);

/// Means of simultaneous observations, and the covariance of these means.
struct Means {
  std::vector<double> mean;                     ///< one for each quantity
  std::vector<std::vector<double>> covariance;  ///< of the means
};

/// `observations`: one list for each quantity, all of one length, two or more. Source: GUM 4.2 and 5.2.3 (standard).
Means means_of(const std::vector<std::vector<double>>& observations);

/// Covariance of two results with these sensitivities to the quantities: c_a' V c_b; the variance of one result where
/// both are the same. Source: GUM 5.2.2 and H.2.3 (standard).
double covariance_of_results(std::span<const double> sensitivities_a, std::span<const double> sensitivities_b,
                             const std::vector<std::vector<double>>& covariance);

}  // namespace throughcure::fleet
