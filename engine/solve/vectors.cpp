#include <algorithm>
#include <cmath>
#include <memory>
#include <new>
#include <pullcast/solve/vectors.hpp>

namespace pullcast {

namespace {

struct Content {
    std::size_t length, tested, group;
    double* x;
};

Content& content(N_Vector v) { return *static_cast<Content*>(v->content); }
double* data(N_Vector v) { return content(v).x; }
std::size_t length(N_Vector v) { return content(v).length; }

void destroy(N_Vector v) {
    if (!v) return;
    if (v->content) delete[] content(v).x;
    delete static_cast<Content*>(v->content);
    N_VFreeEmpty(v);
}

/// Null where memory runs out: it is called from C.
N_Vector fresh(const Content& like, SUNContext context) noexcept try {
    auto own = std::make_unique<double[]>(like.length);
    auto c = std::make_unique<Content>(Content{like.length, like.tested, like.group, own.get()});
    N_Vector v = N_VNewEmpty(context);
    if (!v) return nullptr;
    own.release();
    v->content = c.release();
    return v;
} catch (const std::bad_alloc&) {
    return nullptr;
}

N_Vector clone(N_Vector like) {
    N_Vector v = fresh(content(like), like->sunctx);
    if (v) N_VCopyOps(like, v);
    return v;
}

/// z = f(x) and z = f(x, y) element by element; z may be x or y.
template <class F> void map(N_Vector vx, N_Vector vz, F f) {
    const double* x = data(vx);
    double* z = data(vz);
    const std::size_t n = length(vz);
#pragma omp simd
    for (std::size_t i = 0; i < n; ++i) z[i] = f(x[i]);
}
template <class F> void map(N_Vector vx, N_Vector vy, N_Vector vz, F f) {
    const double *x = data(vx), *y = data(vy);
    double* z = data(vz);
    const std::size_t n = length(vz);
#pragma omp simd
    for (std::size_t i = 0; i < n; ++i) z[i] = f(x[i], y[i]);
}

/// With b == -a as a difference first: a x - a y of nearly equal vectors would leave the noise of both products.
void linear_sum(double a, N_Vector x, double b, N_Vector y, N_Vector z) {
    if (b == -a) return map(x, y, z, [a](double p, double q) { return a * (p - q); });
    map(x, y, z, [a, b](double p, double q) { return a * p + b * q; });
}
void fill(double c, N_Vector z) { std::fill_n(data(z), length(z), c); }
void product(N_Vector x, N_Vector y, N_Vector z) { map(x, y, z, [](double p, double q) { return p * q; }); }
void quotient(N_Vector x, N_Vector y, N_Vector z) { map(x, y, z, [](double p, double q) { return p / q; }); }
void scale(double c, N_Vector x, N_Vector z) { map(x, z, [c](double p) { return c * p; }); }
void magnitude(N_Vector x, N_Vector z) { map(x, z, [](double p) { return std::fabs(p); }); }
void inverse(N_Vector x, N_Vector z) { map(x, z, [](double p) { return 1 / p; }); }
void add_constant(N_Vector x, double b, N_Vector z) { map(x, z, [b](double p) { return p + b; }); }

double max_norm(N_Vector v) {
    const double* x = data(v);
    double largest = 0;
    for (std::size_t i = 0; i < content(v).tested; ++i) largest = std::fabs(x[i]) > largest ? std::fabs(x[i]) : largest;
    return largest;
}

double squares(const double* x, const double* w, std::size_t n, std::size_t stride) {
    double sum = 0;
    for (std::size_t i = 0; i < n; i += stride) sum += (x[i] * w[i]) * (x[i] * w[i]);
    return sum;
}

/// Four sums side by side, always in the same order, whatever the compiler makes of them.
double squares(const double* x, const double* w, std::size_t n) {
    double sum[4] = {0, 0, 0, 0};
    std::size_t i = 0;
    for (; i + 4 <= n; i += 4)
        for (std::size_t j = 0; j < 4; ++j) sum[j] += (x[i + j] * w[i + j]) * (x[i + j] * w[i + j]);
    return (sum[0] + sum[1]) + (sum[2] + sum[3]) + squares(x + i, w + i, n - i, 1);
}

/// sqrt(mean((x w)^2)), the largest over the places within a group.
double weighted_norm(N_Vector vx, N_Vector vw) {
    const double *x = data(vx), *w = data(vw);
    const auto [n, tested, group, own] = content(vx);
    if (tested == 0) return 0;
    if (group == 1) return std::sqrt(squares(x, w, tested) / static_cast<double>(tested));
    double largest = 0;
    for (std::size_t c = 0; c < group; ++c) {
        const double sum = squares(x + c, w + c, tested - c, group);
        largest = sum <= largest ? largest : sum;  // keeps a NaN
    }
    return std::sqrt(largest * static_cast<double>(group) / static_cast<double>(tested));
}

/// z = sum c_k x_k; z may be x_0.
int linear_combination(int count, double* c, N_Vector* x, N_Vector z) {
    if (count == 1) return scale(c[0], x[0], z), 0;
    linear_sum(c[0], x[0], c[1], x[1], z);
    for (int k = 2; k < count; ++k) {
        const double factor = c[k];
        map(x[k], z, z, [factor](double p, double q) { return q + factor * p; });
    }
    return 0;
}

/// z_k = a_k x + y_k
int scale_add_multi(int count, double* a, N_Vector x, N_Vector* y, N_Vector* z) {
    for (int k = 0; k < count; ++k) {
        const double factor = a[k];
        map(x, y[k], z[k], [factor](double p, double q) { return factor * p + q; });
    }
    return 0;
}

void set_operations(N_Vector v) {
    auto& ops = *v->ops;
    ops.nvgetvectorid = [](N_Vector) { return SUNDIALS_NVEC_CUSTOM; };
    ops.nvclone = clone;
    ops.nvdestroy = destroy;
    ops.nvgetlength = [](N_Vector a) { return static_cast<sunindextype>(length(a)); };
    ops.nvgetarraypointer = data;
    ops.nvlinearsum = linear_sum;
    ops.nvconst = fill;
    ops.nvprod = product;
    ops.nvdiv = quotient;
    ops.nvscale = scale;
    ops.nvabs = magnitude;
    ops.nvinv = inverse;
    ops.nvaddconst = add_constant;
    ops.nvmaxnorm = max_norm;
    ops.nvwrmsnorm = weighted_norm;
    ops.nvmin = [](N_Vector a) { return *std::min_element(data(a), data(a) + length(a)); };
    ops.nvdotprod = [](N_Vector a, N_Vector b) {
        double sum = 0;
        for (std::size_t i = 0; i < length(a); ++i) sum += data(a)[i] * data(b)[i];
        return sum;
    };
    ops.nvlinearcombination = linear_combination;
    ops.nvscaleaddmulti = scale_add_multi;
}

}  // namespace

N_Vector new_vector(std::size_t n, std::size_t tested, std::size_t group, SUNContext context) {
    N_Vector v = fresh({n, tested, group, nullptr}, context);
    if (!v) throw std::bad_alloc();
    set_operations(v);
    return v;
}

double* numbers(N_Vector v) { return v->ops->nvgetarraypointer(v); }

}  // namespace pullcast
