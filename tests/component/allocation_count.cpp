#include "allocation_count.hpp"

#include <atomic>
#include <cerrno>
#include <cstddef>

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define PULLCAST_SANITIZED 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer) || __has_feature(memory_sanitizer)
#define PULLCAST_SANITIZED 1
#endif
#endif

namespace {
std::atomic<std::uint64_t> count{0};
}

namespace pullcast::test {
std::uint64_t allocation_count() { return count.load(); }
bool allocations_are_counted() {
#ifdef PULLCAST_SANITIZED
    return false;
#else
    return true;
#endif
}
}  // namespace pullcast::test

#ifndef PULLCAST_SANITIZED
// The C library's own names for its allocator (glibc); operator new calls malloc, so this sees it too.
#define PULLCAST_ALLOCATOR extern "C" __attribute__((visibility("default")))
extern "C" {
void* __libc_malloc(std::size_t);
void* __libc_calloc(std::size_t, std::size_t);
void* __libc_realloc(void*, std::size_t);
void* __libc_memalign(std::size_t, std::size_t);
}
PULLCAST_ALLOCATOR void* malloc(std::size_t n) { return ++count, __libc_malloc(n); }
PULLCAST_ALLOCATOR void* calloc(std::size_t n, std::size_t size) { return ++count, __libc_calloc(n, size); }
PULLCAST_ALLOCATOR void* realloc(void* p, std::size_t n) { return ++count, __libc_realloc(p, n); }
PULLCAST_ALLOCATOR void* aligned_alloc(std::size_t align, std::size_t n) { return ++count, __libc_memalign(align, n); }
PULLCAST_ALLOCATOR int posix_memalign(void** p, std::size_t align, std::size_t n) {
    return ++count, (*p = __libc_memalign(align, n)) ? 0 : ENOMEM;
}
#endif
