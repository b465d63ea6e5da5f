# A Debian package of the library and its headers: cpack -G DEB --config build/release/CPackConfig.cmake

set(CPACK_PACKAGE_NAME libgroundrule-dev)
set(CPACK_PACKAGE_VENDOR "Groundrule")
set(CPACK_PACKAGE_CONTACT "the maintainers of Groundrule")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "Rules engine for electrical-code checks: library and headers")
set(CPACK_RESOURCE_FILE_LICENSE "${PROJECT_SOURCE_DIR}/LICENSE")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)

set(CPACK_COMPONENTS_ALL library)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME ${CPACK_PACKAGE_NAME})
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)

include(CPack)
