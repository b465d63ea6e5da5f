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

# From the installed shared library alone, as a program in another language calls it.
find_program(python NAMES python3)
if(python)
  run("${python}" "${CMAKE_CURRENT_LIST_DIR}/ctypes_host.py" "${prefix}/${LIBDIR}/libgroundrule.so.0")
endif()

# The installed tree as a Debian package: what it holds, and that it unpacks to a tree that works.
find_program(dpkg_deb NAMES dpkg-deb)
if(dpkg_deb)
  set(deb "${WORK_DIR}/deb")
  # Of what is installed already, so that the test builds nothing.
  file(WRITE "${deb}/pack.cmake" "include(\"${BUILD_DIR}/CPackConfig.cmake\")
set(CPACK_INSTALL_CMAKE_PROJECTS)
set(CPACK_INSTALLED_DIRECTORIES \"${prefix}\" \"/usr\")
set(CPACK_DEB_COMPONENT_INSTALL OFF)
")
  run("${CMAKE_CPACK_COMMAND}" -G DEB --config "${deb}/pack.cmake" -B "${deb}")
  file(GLOB packages "${deb}/*.deb")
  list(LENGTH packages count)
  if(NOT count EQUAL 1)
    message(FATAL_ERROR "${count} packages were made, not one")
  endif()
  run("${dpkg_deb}" -x "${packages}" "${deb}/root")
  foreach(path include/groundrule/groundrule.h include/groundrule/groundrule.hpp
      ${LIBDIR}/libgroundrule.so.0 ${LIBDIR}/libgroundrule.a ${LIBDIR}/pkgconfig/groundrule.pc
      ${LIBDIR}/cmake/groundrule/groundruleConfig.cmake)
    if(NOT EXISTS "${deb}/root/usr/${path}")
      message(FATAL_ERROR "the Debian package lacks ${path}")
    endif()
  endforeach()
  if(python)
    run("${python}" "${CMAKE_CURRENT_LIST_DIR}/ctypes_host.py"
      "${deb}/root/usr/${LIBDIR}/libgroundrule.so.0")
  endif()
endif()
