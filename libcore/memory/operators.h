// Every form of the global operators new and delete, over three functions of the file that includes
// this one, once and last: allocate(bytes, alignment) gives null where there is no memory,
// or_throw(block) throws for null, release(block) takes a block back.
#pragma once

#include <cstddef>
#include <new>

namespace {

constexpr std::size_t usual = __STDCPP_DEFAULT_NEW_ALIGNMENT__;

} // namespace

void *operator new(std::size_t bytes) {
    return or_throw(allocate(bytes, usual));
}
void *operator new[](std::size_t bytes) {
    return or_throw(allocate(bytes, usual));
}
void *operator new(std::size_t bytes, std::align_val_t to) {
    return or_throw(allocate(bytes, static_cast<std::size_t>(to)));
}
void *operator new[](std::size_t bytes, std::align_val_t to) {
    return or_throw(allocate(bytes, static_cast<std::size_t>(to)));
}
void *operator new(std::size_t bytes, const std::nothrow_t &) noexcept {
    return allocate(bytes, usual);
}
void *operator new[](std::size_t bytes, const std::nothrow_t &) noexcept {
    return allocate(bytes, usual);
}
void *operator new(std::size_t bytes, std::align_val_t to, const std::nothrow_t &) noexcept {
    return allocate(bytes, static_cast<std::size_t>(to));
}
void *operator new[](std::size_t bytes, std::align_val_t to, const std::nothrow_t &) noexcept {
    return allocate(bytes, static_cast<std::size_t>(to));
}
void operator delete(void *block) noexcept {
    release(block);
}
void operator delete[](void *block) noexcept {
    release(block);
}
void operator delete(void *block, std::size_t) noexcept {
    release(block);
}
void operator delete[](void *block, std::size_t) noexcept {
    release(block);
}
void operator delete(void *block, std::align_val_t) noexcept {
    release(block);
}
void operator delete[](void *block, std::align_val_t) noexcept {
    release(block);
}
void operator delete(void *block, std::size_t, std::align_val_t) noexcept {
    release(block);
}
void operator delete[](void *block, std::size_t, std::align_val_t) noexcept {
    release(block);
}
void operator delete(void *block, const std::nothrow_t &) noexcept {
    release(block);
}
void operator delete[](void *block, const std::nothrow_t &) noexcept {
    release(block);
}
void operator delete(void *block, std::align_val_t, const std::nothrow_t &) noexcept {
    release(block);
}
void operator delete[](void *block, std::align_val_t, const std::nothrow_t &) noexcept {
    release(block);
}
