/// EXPECT_TRUE(within(got, published, 1e-3)): the relative deviation, with both numbers in the message.
#pragma once
#include <cmath>
#include <gtest/gtest.h>

inline testing::AssertionResult within(double got, double published, double tolerance) {
    const double deviation = std::fabs(got / published - 1);
    if (deviation <= tolerance) return testing::AssertionSuccess();
    return testing::AssertionFailure() << "got " << got << ", published " << published << ": relative deviation "
                                       << deviation << " exceeds " << tolerance;
}
