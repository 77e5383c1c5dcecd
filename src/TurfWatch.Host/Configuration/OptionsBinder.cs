using System.Collections;
using System.Reflection;

namespace TurfWatch.Host.Configuration;

/// <summary>
/// Binds one options class. Unlike the framework's binder it does not stop at the first value that
/// does not fit: each becomes a fault of its own, so that a person can mend all of them at once.
/// </summary>
internal static class OptionsBinder
{
    public static object Bind(
        OptionsClass options,
        IConfiguration configuration,
        List<string> faults
    )
    {
        var instance = Activator.CreateInstance(options.Type)!;
        foreach (var (key, property) in options.Keys)
        {
            var section = configuration.GetSection(key);
            if (!section.Exists())
            {
                continue;
            }

            try
            {
                var value = IsList(property.PropertyType)
                    ? section.Get(property.PropertyType)
                    : Scalar(section, property);
                if (
                    value is not null
                    || Nullable.GetUnderlyingType(property.PropertyType) is not null
                )
                {
                    property.SetValue(instance, value);
                }
            }
            catch (Exception e) when (e is InvalidOperationException or FormatException)
            {
                faults.Add(
                    $"{key} is '{section.Value ?? "a section"}', which is not {Wanted(property.PropertyType)}; {Example(instance, property)}."
                );
            }
        }

        return instance;
    }

    /// <summary>Gives each options class the parts of it that have a section of their own.</summary>
    public static void Join(IReadOnlyList<object> bound)
    {
        var byType = bound.ToDictionary(o => o.GetType());
        foreach (var options in OptionsCatalog.All.Where(o => byType.ContainsKey(o.Type)))
        {
            foreach (var part in options.Parts)
            {
                part.SetValue(byType[options.Type], byType[part.PropertyType]);
            }
        }
    }

    /// <summary>What an options object says is wrong with its values.</summary>
    public static IEnumerable<string> FaultsOf(object options)
    {
        var type = options.GetType();
        if (type.GetMethod("Faults", Type.EmptyTypes) is { } plain)
        {
            return (IEnumerable<string>)plain.Invoke(options, null)!;
        }

        var section = OptionsCatalog.All.Single(o => o.Type == type).Section;
        return type.GetMethod("Faults", [typeof(string)])?.Invoke(options, [section])
                as IEnumerable<string>
            ?? [];
    }

    public static bool IsList(Type type) =>
        type != typeof(string) && typeof(IEnumerable).IsAssignableFrom(type);

    private static object? Scalar(IConfigurationSection section, PropertyInfo property)
    {
        if (section.Value is null && section.GetChildren().Any())
        {
            throw new FormatException("a section where a value belongs");
        }

        if (section.Value is { Length: 0 } && property.PropertyType != typeof(string))
        {
            return null;
        }

        // The framework reads "5" as five days, which nobody means who writes a plain number.
        var type = Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType;
        if (type == typeof(TimeSpan) && !section.Value!.Contains(':', StringComparison.Ordinal))
        {
            throw new FormatException("a duration without a colon");
        }

        return section.Get(property.PropertyType);
    }

    private static string Wanted(Type type)
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        return type switch
        {
            _ when type == typeof(bool) => "true or false",
            _ when type == typeof(int) || type == typeof(long) => "a whole number",
            _ when type == typeof(double) => "a number",
            _ when type == typeof(TimeSpan) => "a duration (hours:minutes:seconds)",
            _ when type == typeof(Uri) => "an address such as https://example.org/",
            _ when type.IsEnum => "one of " + string.Join(", ", Enum.GetNames(type)),
            _ when IsList(type) => "a list in square brackets",
            _ => "text",
        };
    }

    private static string Example(object instance, PropertyInfo property)
    {
        var value = property.GetValue(instance);
        return value is null or "" || IsList(property.PropertyType)
            ? "leave it out to keep the default"
            : $"write for example {value} (the default)";
    }
}
