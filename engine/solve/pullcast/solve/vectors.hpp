/// The vector operations that CVODES works with, in place of the package's own: those are compiled without optimisation
/// in some distributions, and their norms cannot leave accounts out.
#pragma once
#include <cstddef>
#include <pullcast/solve/sundials.hpp>

namespace pullcast {

/// A vector of `length`, zero at first; norms look at the first `tested` components only. These come in groups of
/// `group` neighbours: a norm is the largest over the places within a group, so that derivatives carried along
/// neither dilute the error of the values nor hide behind it. Throws std::bad_alloc.
N_Vector new_vector(std::size_t length, std::size_t tested, std::size_t group, SUNContext context);

/// The numbers of any vector with contiguous data, the package's included.
double* numbers(N_Vector v);

}  // namespace pullcast
