"""The stub of the private module and the module itself agree, and the package is typed."""

import ast
import inspect
from importlib.resources import files
from types import ModuleType

import groundrule
from groundrule import _core


def public(names: list[str]) -> set[str]:
    return {name for name in names if not name.startswith("_")}


def names_in(body: list[ast.stmt]) -> set[str]:
    names: list[str] = []
    for node in body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)):
            names.append(node.name)
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            names.append(node.target.id)
    return public(names)


def stub() -> ast.Module:
    return ast.parse(files(groundrule).joinpath("_core.pyi").read_text(encoding="utf-8"))


def parameters_of(function: object) -> list[str]:
    """Names from the first line of the docstring that the binding writes: f(self: …, job: …)."""
    line = (inspect.getdoc(function) or "").splitlines()[0]
    call = ast.parse(f"def {line.split(' -> ')[0]}: ...".replace("groundrule._core.", ""))
    definition = call.body[0]
    assert isinstance(definition, ast.FunctionDef)
    return [argument.arg for argument in definition.args.args]


def check_functions(body: list[ast.stmt], owner: ModuleType | type) -> None:
    for node in body:
        if isinstance(node, ast.FunctionDef) and not node.decorator_list:
            function = getattr(owner, node.name)
            expected = ["self"] if isinstance(owner, type) else []
            expected = [argument.arg for argument in node.args.args] or expected
            found = ["self" if name == "arg0" else name for name in parameters_of(function)]
            assert found == expected, node.name


def test_module_level_names() -> None:
    assert names_in(stub().body) == public(dir(_core))


def test_functions() -> None:
    check_functions(stub().body, _core)


def test_classes() -> None:
    for node in stub().body:
        if not isinstance(node, ast.ClassDef):
            continue
        runtime = getattr(_core, node.name)
        if issubclass(runtime, Exception):
            assert {base.id for base in node.bases if isinstance(base, ast.Name)} == {
                base.__name__ for base in runtime.__bases__
            }
            continue
        assert names_in(node.body) == public(dir(runtime)), node.name
        check_functions(node.body, runtime)


def test_an_error_has_the_attributes_of_the_stub() -> None:
    (error,) = [
        node
        for node in stub().body
        if isinstance(node, ast.ClassDef) and node.name == "GroundruleError"
    ]
    try:
        groundrule.open_book("no-such-book")
    except groundrule.GroundruleError as raised:
        assert names_in(error.body) == vars(raised).keys()


def test_the_package_is_typed_and_its_names_exist() -> None:
    assert files(groundrule).joinpath("py.typed").is_file()
    for name in groundrule.__all__:
        thing = getattr(groundrule, name)
        assert thing.__doc__, name


def functions_of(thing: object) -> list[tuple[str, inspect.Signature]]:
    """The function itself, or the methods that a class of ours writes out."""
    if inspect.isfunction(thing):
        return [(thing.__name__, inspect.signature(thing))]
    own = vars(thing).items() if inspect.isclass(thing) else []
    return [
        (f"{thing}.{name}", inspect.signature(member))
        for name, member in own
        if inspect.isfunction(member) and not name.startswith("_")
    ]


def test_public_callables_are_typed() -> None:
    for public_name in groundrule.__all__:
        for name, signature in functions_of(getattr(groundrule, public_name)):
            assert signature.return_annotation is not signature.empty, name
            for parameter in signature.parameters.values():
                typed = parameter.annotation is not parameter.empty
                assert typed or parameter.name == "self", name
