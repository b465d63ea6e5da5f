# Installs the library into a fresh prefix, then builds and runs a small project against it, once
# through find_package and once through pkg-config.
#
#   cmake -DBUILD_DIR=… -DWORK_DIR=… -DLIBDIR=… -DGENERATOR=… -DC_COMPILER=… -DCXX_COMPILER=…
#     -P run.cmake

cmake_minimum_required(VERSION 3.25)

function(run)
  execute_process(COMMAND ${ARGN} COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(REMOVE_RECURSE "${WORK_DIR}")
set(prefix "${WORK_DIR}/prefix")

run("${CMAKE_COMMAND}" --install "${BUILD_DIR}" --component library --prefix "${prefix}")

set(ENV{PKG_CONFIG_PATH} "${prefix}/${LIBDIR}/pkgconfig")

run("${CMAKE_COMMAND}" -S "${CMAKE_CURRENT_LIST_DIR}/consumer" -B "${WORK_DIR}/build"
  -G "${GENERATOR}"
  "-DCMAKE_C_COMPILER=${C_COMPILER}"
  "-DCMAKE_CXX_COMPILER=${CXX_COMPILER}"
  "-DCMAKE_PREFIX_PATH=${prefix}"
  -DCMAKE_BUILD_TYPE=Release)
run("${CMAKE_COMMAND}" --build "${WORK_DIR}/build")
run("${CMAKE_CTEST_COMMAND}" --test-dir "${WORK_DIR}/build" --output-on-failure --no-tests=error)
