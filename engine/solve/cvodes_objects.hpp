/// CVODES objects that free themselves, and its matrix and linear solver as covers of a NewtonMatrix.
#pragma once
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <pullcast/solve/newton_matrix.hpp>
#include <pullcast/solve/sundials.hpp>
#include <pullcast/solve/vectors.hpp>
#include <stdexcept>

namespace pullcast {

/// CVODES objects, freed in reverse order of declaration.
template <auto release> struct Release {
    void operator()(auto* p) const { release(p); }
};
inline void free_context(SUNContext c) { SUNContext_Free(&c); }
using ContextOwner = std::unique_ptr<_SUNContext, Release<free_context>>;
using VectorOwner = std::unique_ptr<_generic_N_Vector, Release<N_VDestroy>>;
using MatrixOwner = std::unique_ptr<_generic_SUNMatrix, Release<SUNMatDestroy>>;
using SolverOwner = std::unique_ptr<_generic_SUNLinearSolver, Release<SUNLinSolFree>>;
struct FreeCvodes {
    void operator()(void* p) const { CVodeFree(&p); }
};

inline void check(int flag, const char* call) {
    if (flag < 0) throw std::runtime_error(fmt::format("{} failed: {}", call, CVodeGetReturnFlagName(flag)));
}
template <class T> T* need(T* p, const char* call) {
    if (!p) throw std::runtime_error(fmt::format("{} failed", call));
    return p;
}

inline SUNContext make_context() {
    SUNContext context = nullptr;
    if (sundials::create_context(&context) != 0) throw std::runtime_error("SUNContext_Create failed");
    return context;
}

/// A matrix that CVODES only passes around: the numbers are the NewtonMatrix's.
inline SUNMatrix placeholder_matrix(SUNContext context) {
    SUNMatrix m = need(SUNMatNewEmpty(context), "SUNMatNewEmpty");
    m->ops->getid = [](SUNMatrix) { return SUNMATRIX_CUSTOM; };
    m->ops->destroy = SUNMatFreeEmpty;
    return m;
}

inline SUNLinearSolver wrap(NewtonMatrix& matrix, SUNContext context) {
    SUNLinearSolver s = need(SUNLinSolNewEmpty(context), "SUNLinSolNewEmpty");
    s->content = &matrix;
    s->ops->gettype = [](SUNLinearSolver) { return SUNLINEARSOLVER_DIRECT; };
    s->ops->getid = [](SUNLinearSolver) { return SUNLINEARSOLVER_CUSTOM; };
    s->ops->initialize = [](SUNLinearSolver) { return 0; };
    s->ops->setup = [](SUNLinearSolver self, SUNMatrix) {
        return static_cast<NewtonMatrix*>(self->content)->factor() ? 0 : SUNLS_LUFACT_FAIL;  // recoverable
    };
    s->ops->solve = [](SUNLinearSolver self, SUNMatrix, N_Vector x, N_Vector b, sundials::Real) {
        if (x != b) std::copy_n(numbers(b), N_VGetLength(b), numbers(x));
        static_cast<NewtonMatrix*>(self->content)->solve(numbers(x));
        return 0;
    };
    s->ops->free = [](SUNLinearSolver self) {
        self->content = nullptr;
        SUNLinSolFreeEmpty(self);
        return 0;
    };
    return s;
}

}  // namespace pullcast
