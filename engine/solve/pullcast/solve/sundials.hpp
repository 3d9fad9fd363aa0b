/// The few places where SUNDIALS 6 and 7 differ. Compiled and tested with 6.4; the branches for 7 follow its headers as
/// documented (a context from a communicator, `sunrealtype`, error handlers on the context).
#pragma once
#include <cvodes/cvodes.h>
#include <cvodes/cvodes_ls.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_config.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

namespace pullcast::sundials {

#if SUNDIALS_VERSION_MAJOR >= 7
using Real = sunrealtype;
using Bool = sunbooleantype;
inline int create_context(SUNContext* context) { return SUNContext_Create(SUN_COMM_NULL, context); }
/// Messages come from the integrator itself, in names; the package's go nowhere.
inline int silence(SUNContext context, void*) { return SUNContext_ClearErrHandlers(context); }
#else
using Real = realtype;
using Bool = booleantype;
inline int create_context(SUNContext* context) { return SUNContext_Create(nullptr, context); }
/// Messages come from the integrator itself, in names; the package's go nowhere.
inline int silence(SUNContext, void* cvodes) {
    return CVodeSetErrHandlerFn(cvodes, [](int, const char*, const char*, char*, void*) {}, nullptr);
}
#endif
static_assert(sizeof(Real) == sizeof(double), "SUNDIALS must be built for double precision");

}  // namespace pullcast::sundials
