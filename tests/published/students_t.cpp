/// Student's quantiles against NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2 (upper critical values
/// of Student's t distribution, from memory; rounded to three decimals).
#include <gtest/gtest.h>

#include <pullcast/measure/matching.hpp>

namespace students_t_tests {

using pullcast::measure::student_quantile;

TEST(StudentsT, NistTable) {
    constexpr double table[][4] = {{1, 3.078, 6.314, 12.706},
                                   {2, 1.886, 2.920, 4.303},
                                   {4, 1.533, 2.132, 2.776},
                                   {10, 1.372, 1.812, 2.228},
                                   {30, 1.310, 1.697, 2.042}};
    for (const auto& [freedom, t90, t95, t975] : table) {
        EXPECT_NEAR(student_quantile(0.90, freedom), t90, 5.1e-4) << freedom;
        EXPECT_NEAR(student_quantile(0.95, freedom), t95, 5.1e-4) << freedom;
        EXPECT_NEAR(student_quantile(0.975, freedom), t975, 5.1e-4) << freedom;
    }
}

}  // namespace students_t_tests
