using System.Reflection;

namespace TurfWatch.Host.Configuration;

/// <summary>One key that a person can set.</summary>
/// <param name="Key">Full key, for example <c>Weather:Nws:Contact</c>.</param>
/// <param name="Property">The property that holds it.</param>
public sealed record OptionKey(string Key, PropertyInfo Property);

/// <summary>One options class.</summary>
/// <param name="Type">The class.</param>
/// <param name="Section">The section of the configuration that it reads.</param>
/// <param name="Keys">Its keys.</param>
/// <param name="Parts">Properties that hold options classes with a section of their own.</param>
public sealed record OptionsClass(
    Type Type,
    string Section,
    IReadOnlyList<OptionKey> Keys,
    IReadOnlyList<PropertyInfo> Parts
);

/// <summary>
/// Finds every options class: a class whose name ends in Options with a <c>public const string
/// Section</c>. They sit beside the code that reads them, so nobody keeps a list.
/// </summary>
public static class OptionsCatalog
{
    private static readonly string[] Assemblies =
    [
        "TurfWatch.Weather",
        "TurfWatch.Store",
        "TurfWatch.Mail",
        "turfwatch",
    ];

    public static IReadOnlyList<OptionsClass> All { get; } =
    [
        .. Assemblies
            .SelectMany(name => Assembly.Load(name).GetTypes())
            .Where(type => SectionOf(type) is not null)
            .Select(Describe)
            .OrderBy(options => options.Section, StringComparer.Ordinal),
    ];

    private static OptionsClass Describe(Type type)
    {
        var section = SectionOf(type)!;
        var settable = type.GetProperties(BindingFlags.Public | BindingFlags.Instance)
            .Where(p => p.SetMethod is { IsPublic: true })
            .ToLookup(p => SectionOf(p.PropertyType) is not null);
        return new OptionsClass(
            type,
            section,
            [.. settable[false].Select(p => new OptionKey($"{section}:{p.Name}", p))],
            [.. settable[true]]
        );
    }

    private static string? SectionOf(Type type) =>
        type is { IsClass: true, IsAbstract: false }
        && type.Name.EndsWith("Options", StringComparison.Ordinal)
        && type.GetField("Section", BindingFlags.Public | BindingFlags.Static)
            is { IsLiteral: true } field
            ? (string?)field.GetRawConstantValue()
            : null;
}
